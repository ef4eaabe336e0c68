// What reaches the ground before a wheel is at full bump_left. Expected values are worked out by hand: four upright slides under
// coils, whose wheels move along the vehicle's z, so that with the weight in the middle the coil's law gives how each
// stands and what travel it has left, and plane trigonometry the body on them.

#include "ride/grounding.hpp"

#include <cmath>

#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "rigs/models.hpp"
#include "rigs/rest.hpp"
#include "rigs/texts.hpp"
#include "rigs/units.hpp"

namespace ridepitch {
namespace {

using ::testing::HasSubstr;

constexpr double exact_mm = 1e-7;
constexpr double about_mm = 0.05;  // what the cosine of a pitch of 2 degrees takes from 60 mm

// 2400 g on four coils of 64 mm free, 44 mm solid, 0.5 N/mm: all in mm and N.
constexpr double grams_on_slides = 2400, tyre_radius = 30, half_base = 16 * 8.0;
const double coil_n = 2.4 * 9.80665 / 4;
const double coil_length = 64 - coil_n / 0.5;  // of each coil at rest
const double bump_left = coil_length - 44;     // left until it is solid
// The corners' place is at z = 32, the coils' seats 80 above it: centres rest at that less the coil's coil_length.
const double centre_z = 32 + 80 - coil_length;

std::string point(const std::string& name, double x_mm, double z_mm) {
  return fmt::format("[[clearance]]\nname = \"{}\"\nat = [{:.17g}, 0, {:.17g}]\n", name, x_mm / 8, z_mm / 8);
}

/// The vehicle with such points; z of a point that is `mm` above the ground at rest.
double z_at_height(double mm) { return centre_z - tyre_radius + mm; }

Standing on_four_slides(const std::string& points) {
  return standing(on_tyres(read_rig(body(grams_on_slides, 0, 0, 5) + points + upright({}) + four_corners("l", 16, 8))));
}

std::vector<Grounding> groundings_of(const Standing& at) { return find_groundings(at.model, at.solution); }

TEST(Grounding, OfABodyThatSinksEvenlyIsTheTravelLeftLessThePointsHeight) {
  const double height = 0.8 * bump_left;  // one axle alone takes its middle down by half as much only
  const Standing at = on_four_slides(point("belly", 0, z_at_height(height)));
  const auto found = groundings_of(at);
  ASSERT_EQ(found.size(), 1u);
  EXPECT_TRUE(found[0].all_axles);
  EXPECT_EQ(found[0].wheels.size(), 4u);
  EXPECT_NEAR(found[0].share, 0.8, 1e-9);
  EXPECT_NEAR(found[0].of_mm, bump_left, exact_mm);
  EXPECT_NEAR(found[0].travel_left_mm, bump_left - height, exact_mm);
  EXPECT_NEAR(found[0].short_mm, bump_left - height, exact_mm);
}

// The front wheels raised by d: the plane through both axles' contacts pitches the body by p with tan p = d / (2 a), and the
// rear axle stands as high as the front one: h = R - a sin p - z cos p.
TEST(Grounding, OfOneAxleFollowsFromThePitchThatItGivesTheBody) {
  const double x = 60, share = 0.6, d = share * bump_left;
  const double pitch = std::atan(d / (2 * half_base));
  const double h = tyre_radius - half_base * std::sin(pitch) - centre_z * std::cos(pitch);
  const double z = (x * std::sin(pitch) - h) / std::cos(pitch);  // where the point's height is 0
  const Standing at = on_four_slides(point("chin", x, z));
  const auto found = groundings_of(at);
  ASSERT_EQ(found.size(), 1u);
  EXPECT_FALSE(found[0].all_axles);
  EXPECT_THAT(found[0].wheels, testing::ElementsAre(WheelRef{0, 0}, WheelRef{1, 0}));
  EXPECT_NEAR(found[0].share, share, 1e-9);
  EXPECT_NEAR(found[0].travel_left_mm, (1 - share) * bump_left, exact_mm);
}

TEST(Grounding, IsToldOnceAPointAndAxleAndNotAgainForAllAxles) {
  const Standing at =
      on_four_slides(point("chin", half_base, z_at_height(0.5 * bump_left)) +
                     point("belly", 0, z_at_height(0.3 * bump_left)) + point("roof", 0, z_at_height(50)));
  const auto found = groundings_of(at);
  ASSERT_EQ(found.size(), 3u);  // the chin over the front wheels, the belly over either axle
  EXPECT_EQ(found[0].point, 0);
  EXPECT_EQ(found[1].point, 1);
  EXPECT_EQ(found[2].point, 1);
  for (const Grounding& one : found) EXPECT_FALSE(one.all_axles);
  // Over the axle that rises the point sinks as far as it.
  EXPECT_NEAR(found[0].travel_left_mm, 0.5 * bump_left, about_mm);
  EXPECT_NEAR(found[1].travel_left_mm, 0.4 * bump_left, about_mm);
}

TEST(Grounding, IsAWarningOfOneAxleAndANoteOfAllThatSaysWhatIsLeft) {
  const Standing one = on_four_slides(point("chin", half_base, z_at_height(0.5 * bump_left)));
  const auto warned = judge_groundings(one.model, one.solution, groundings_of(one));
  ASSERT_EQ(warned.size(), 1u);
  EXPECT_EQ(warned[0].level, Level::warning);
  EXPECT_EQ(warned[0].code, "grounds-before-bump");
  EXPECT_EQ(warned[0].where, "chin");
  EXPECT_THAT(warned[0].text, HasSubstr(fmt::format("{:.1f} of {:.1f} mm of bump left at front left/hub and front "
                                                    "right/hub",
                                                    0.5 * bump_left, bump_left)));
  EXPECT_THAT(warned[0].text, HasSubstr("main solid"));
  const Standing all = on_four_slides(point("belly", 0, z_at_height(0.8 * bump_left)));
  const auto noted = judge_groundings(all.model, all.solution, groundings_of(all));
  ASSERT_EQ(noted.size(), 1u);
  EXPECT_EQ(noted[0].level, Level::note);
  EXPECT_THAT(noted[0].text, HasSubstr(fmt::format("{:.1f} of", 0.2 * bump_left)));
}

TEST(Grounding, ShowsInWhatSolveFindsAndLeavesBumpTravelAlone) {
  const Standing at = on_four_slides(point("belly", 0, z_at_height(0.3 * bump_left)));
  EXPECT_EQ(std::count_if(at.solution.findings.begin(), at.solution.findings.end(),
                          [](const Finding& one) { return one.code == "grounds-before-bump"; }),
            2);
  EXPECT_NEAR(at.solution.corners[0].wheels[0].bump_travel_mm.value(), bump_left, exact_mm);
}

TEST(Grounding, LeavesOutWhatLiesUnderTheGroundAtRestAndWhatIsHighEnough) {
  EXPECT_TRUE(groundings_of(on_four_slides(point("belly", 0, z_at_height(-1)))).empty());
  EXPECT_TRUE(groundings_of(on_four_slides(point("belly", 0, z_at_height(bump_left + 0.001)))).empty());
  EXPECT_TRUE(groundings_of(on_four_slides("")).empty());
}

TEST(Grounding, KeepsFixedWheelsWhereTheyRest) {
  // The rear wheels are the chassis's own, their centres as high as the front ones at rest: the vehicle stands level.
  const std::string fixed = fmt::format(
      "[linkage.f]\nplane = \"side\"\n[linkage.f.body]\nchassis = {{ holes = {{ hub = [0, {:.17g}] }} }}\n"
      "[linkage.f.wheel.hub]\nat = \"chassis.hub\"\npart = \"tyre-62\"\n",
      (centre_z - 32) / 8);
  const Standing at = standing(
      on_tyres(read_rig(body(grams_on_slides, 0, 0, 5) + point("belly", 0, z_at_height(0.4 * bump_left)) + upright({}) +
                        fixed + corner("front left", "l", 16, 8) + corner("front right", "l", 16, -8) +
                        corner("rear left", "f", -16, 8) + corner("rear right", "f", -16, -8))));
  const auto found = groundings_of(at);
  ASSERT_EQ(found.size(), 1u);
  EXPECT_THAT(found[0].wheels, testing::ElementsAre(WheelRef{0, 0}, WheelRef{1, 0}));
  EXPECT_NEAR(found[0].travel_left_mm, 0.2 * bump_left, about_mm);  // halfway between the axles it sinks by half
}

TEST(Grounding, JoinsWheelsToAxlesThatStandWithinAModuleOfTheNext) {
  // Three pairs at 16, 15 and `third` modules, and a point barely above the ground before them all.
  const auto first_grounded = [](double third) {
    Standing at = on_four_slides(corner("second left", "l", 15, 8) + corner("second right", "l", 15, -8) +
                                 corner("third left", "l", third, 8) + corner("third right", "l", third, -8));
    const double pitch = at.solution.vehicle->pitch_deg * per_deg, x = 20 * 8;
    const double z = (0.05 - at.solution.vehicle->height_mm + x * std::sin(pitch)) / std::cos(pitch);
    at.model.clearances.push_back({"chin", Vec3(x, 0, z), {}});
    const auto found = groundings_of(at);
    return found.empty() ? std::size_t{0} : found[0].wheels.size();
  };
  EXPECT_EQ(first_grounded(14), 6u);
  EXPECT_EQ(first_grounded(13.9), 4u);
}

}  // namespace
}  // namespace ridepitch
