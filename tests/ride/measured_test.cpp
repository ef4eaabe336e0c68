// Ruler readings beside computed heights. Expected: closed forms of a body on four upright coils, where a wheel's travel is
// its coil's: the coil stands at L = free - (load - preload) / rate, and the body as much lower as it is shorter.

#include "ride/measured.hpp"

#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>

#include "model/read.hpp"
#include "rigs/models.hpp"
#include "rigs/rest.hpp"
#include "rigs/texts.hpp"
#include "rigs/units.hpp"

namespace ridepitch {
namespace {

std::string measured(const std::string& corner, double height_mm, const std::string& more = "") {
  return fmt::format("[[measured]]\nof = \"{}\"\nride_height_mm = {}\n{}", corner, height_mm, more);
}

/// 2000 g in the middle of four coils of 0.5 N/mm: 4.903 N on each, 9.807 mm; the seat 56 mm above the guide, the
/// tyre 60 mm. So a corner's place stands 64 - 9.807 - 56 + 30 mm over the wheel's contact.
std::string posts(const std::string& more, double y_centre = 0, double x_centre = 0) {
  return body(2000, x_centre, y_centre, 5) + more + upright({.top = 7}) + four_corners("l", 10, 8);
}

const double half_kilogram_n = 500 * n_per_gram;
const double height_mm = 64 - half_kilogram_n / 0.5 - 56 + 30;

const LikelyCause* find(const Solution& solution, const std::string& code) {
  for (const LikelyCause& cause : solution.causes) {
    if (cause.code == code) return &cause;
  }
  return nullptr;
}

bool noted(const Solution& solution, const std::string& where) {
  return std::any_of(solution.findings.begin(), solution.findings.end(), [&](const Finding& finding) {
    return finding.code == "measured-differs" && finding.where == where;
  });
}

TEST(Measured, StandsBesideTheComputedHeight) {
  const Solution solution = rested(posts(measured("rear left", height_mm + 0.4)));
  ASSERT_EQ(solution.measured.size(), 1u);
  EXPECT_EQ(solution.measured[0].corner, 2);
  EXPECT_NEAR(solution.measured[0].computed_mm, height_mm, 1e-9);
  EXPECT_NEAR(solution.measured[0].measured_mm, height_mm + 0.4, 1e-9);
  EXPECT_TRUE(solution.causes.empty()) << "0.4 mm is within what a ruler tells";
  EXPECT_FALSE(noted(solution, "rear left"));
}

TEST(Measured, BeginsToDifferJustBeyondWhatTheRulerMayBeOff) {
  EXPECT_FALSE(differs({.corner = 0, .measured_mm = 40, .within_mm = 1, .computed_mm = 41, .friction_mm = {}}));
  EXPECT_TRUE(differs({.corner = 0, .measured_mm = 40, .within_mm = 1, .computed_mm = 41.001, .friction_mm = {}}));
  EXPECT_TRUE(noted(rested(posts(measured("rear left", height_mm + 0.4, "within_mm = 0.3\n"))), "rear left"));
}

/// All four corners measured 2 mm lower than computed.
Solution low() {
  std::string all;
  for (const char* corner : {"front left", "front right", "rear left", "rear right"})
    all += measured(corner, height_mm - 2);
  return rested(posts(all));
}

TEST(LikelyCauses, NeedWhatTheClosedFormSays) {
  const Solution solution = low();
  const LikelyCause* free_length = find(solution, "free-length");
  ASSERT_TRUE(free_length);
  EXPECT_NEAR(free_length->amount, -2, 1e-3);  // the body sinks as much as the coil is shorter
  EXPECT_NEAR(free_length->leaves_mm, 0, 1e-3);
  const LikelyCause* tyre = find(solution, "tyre");
  ASSERT_TRUE(tyre);
  EXPECT_NEAR(tyre->amount, -4, 1e-3);  // of diameter
  const LikelyCause* rate = find(solution, "rate");
  ASSERT_TRUE(rate);
  // The coil is then squeezed 2 mm more by the same load: rate' / rate = 9.807 / 11.807.
  const double squeezed = half_kilogram_n / 0.5;
  EXPECT_NEAR(rate->amount, 100 * (squeezed / (squeezed + 2) - 1), 0.05);
  const LikelyCause* mass = find(solution, "mass");
  EXPECT_EQ(mass, nullptr) << "408 g more, 4 * 0.5 * 2 N, are far-fetched beside 2 mm of length";
}

TEST(LikelyCauses, StandInTheOrderOfWhatIsUsual) {
  const Solution solution = low();
  ASSERT_GE(solution.causes.size(), 2u);
  for (std::size_t i = 1; i < solution.causes.size(); ++i)
    EXPECT_LE(solution.causes[i - 1].size, solution.causes[i].size);
  EXPECT_TRUE(noted(solution, "front left"));
}

TEST(LikelyCauses, AMassThatIsMissingIsFoundOnSoftSprings) {
  std::string all;
  for (const char* corner : {"front left", "rear right"})
    all += measured(corner, 64 - 15.0 - 56 + 30 - 0.2, "within_mm = 0.3\n");
  // Coils of 0.1 N/mm under 150 g each stand 15 mm lower than free, nearly: 1.4710 N / 0.1.
  const Solution solution =
      rested(body(600, 0, 0, 5) + all + upright({.top = 7, .rate_n_per_mm = 0.1}) + four_corners("l", 10, 8));
  const LikelyCause* mass = find(solution, "mass");
  ASSERT_TRUE(mass);
  const double off_mm = 64 - 150 * n_per_gram / 0.1 - (64 - 15 - 0.2);
  EXPECT_NEAR(mass->amount, off_mm * 0.1 * 4 / n_per_gram, 0.1);
}

TEST(LikelyCauses, HeightsThatDifferTheOtherWayAtTheOtherEndMeanTheCentre) {
  // With the centre 8 mm ahead: moments about the axles at +-80 mm give 2000 (80 +- 8) / 160 g at each end.
  const Solution truth = rested(posts("", 0, 1));
  std::string all;
  for (std::size_t c = 0; c < 4; ++c)
    all += measured(truth.corners[c].name, *truth.corners[c].ride_height_mm, "within_mm = 0.2\n");
  const Solution solution = rested(posts(all));
  ASSERT_FALSE(solution.causes.empty());
  EXPECT_EQ(solution.causes[0].code, "centre");
  EXPECT_NEAR(solution.causes[0].amount, 8, 0.01);
  EXPECT_EQ(find(solution, "mass"), nullptr);
  EXPECT_EQ(find(solution, "tyre"), nullptr);
}

TEST(LikelyCauses, AHoleThatIsOneOffIsNamed) {
  const std::string spring = coil("main", "arm.coil", "chassis.seat", 64, 40, 1.0);
  const auto vehicle = [&](const char* seat, const std::string& more) {
    return body(2000, 0, 0, 5) + more + arm({.seat = seat, .more = spring}) + four_corners("l", 12, 8);
  };
  const Solution truth = rested(vehicle("[5, 8]", ""));
  std::string all;
  for (const std::size_t c : {0u, 2u}) all += measured(truth.corners[c].name, *truth.corners[c].ride_height_mm);
  const Solution solution = rested(vehicle("[5, 7]", all));
  const LikelyCause* hole = find(solution, "hole");
  ASSERT_TRUE(hole);
  EXPECT_EQ(hole->what, "hole chassis.seat of l");
  EXPECT_EQ(hole->needs, "one hole off: [5, 8]");
  EXPECT_NEAR(hole->leaves_mm, 0, 1e-6);
}

TEST(LikelyCauses, AreOfTheBenchToo) {
  Upright post;
  post.top = 7;
  const std::string text = fmt::format(
      "format = 1\nname = \"bench\"\n{}{}[[corner]]\nname = \"c\"\nlinkage = \"l\"\nat = [0, 0, 4]\nload_n = 4\n",
      measured("c", 64 - 8 - 56 + 30 - 2), upright(post));
  const Solution solution = rested(text);
  ASSERT_TRUE(find(solution, "free-length"));
  EXPECT_NEAR(find(solution, "free-length")->amount, -2, 1e-3);
}

// ------------------------------------------------------------------------------------ friction

TEST(FrictionBand, OfACoilIsItsFrictionOverItsRate) {
  std::string text = posts(measured("rear left", height_mm - 0.9, "within_mm = 0.5\n"));
  const std::string rate = "rate_n_per_mm = 0.5\n";
  text.insert(text.find(rate), "friction_n = 0.3\n");
  const Solution solution = rested(text);
  ASSERT_TRUE(solution.measured[0].friction_mm);
  EXPECT_NEAR(*solution.measured[0].friction_mm, 0.3 / 0.5, 1e-6);
  const LikelyCause* cause = find(solution, "friction");
  ASSERT_TRUE(cause);
  EXPECT_NEAR(cause->leaves_mm, 0.9 - 0.6, 1e-6);
}

TEST(FrictionBand, OfAPinIsMuTimesRadiusTimesItsLoadTimesItsTurning) {
  const std::string model = body(2000, 0, 0, 5) + "[friction]\npin_mu = 0.3\npin_radius_mm = 2.4\n" +
                            arm({.seat = "[5, 8]", .more = coil("main", "arm.coil", "chassis.seat", 64, 40, 1.0)}) +
                            four_corners("l", 12, 8);
  const Solution solution = rested(model);
  const CornerResult& corner = solution.corners[0];
  // The axle is 64 mm from the pin: at an angle a it rises 64 cos(a) mm for each radian.
  const double rise = 64 * std::cos(corner.poses[1].theta_rad);
  const double force_n = 0.3 * 2.4 * corner.pins[0].force_n / rise;
  const auto band = friction_band_mm(on_tyres(read_rig(model)), solution, 0);
  ASSERT_TRUE(band);
  EXPECT_NEAR(*band, force_n / *corner.wheels[0].wheel_rate_n_per_mm, 1e-3 * *band);
}

TEST(FrictionBand, IsNoneWhereTheModelGivesNoFriction) {
  const std::string model = posts("");
  EXPECT_FALSE(friction_band_mm(on_tyres(read_rig(model)), rested(model), 0));
}

}  // namespace
}  // namespace ridepitch
