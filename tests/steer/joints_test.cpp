// What joints must do over travel and lock. Expected values are worked out by hand: wheels on upright slides, which rise along
// the vehicle's z and do not lean, so that every angle is a right triangle's.

#include "steer/joints.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "model/units.hpp"
#include "ride/pose.hpp"
#include "steer/further_findings.hpp"
#include "steer/standing.hpp"
#include "steer/steered.hpp"

namespace ridepitch {
namespace {

using ::testing::HasSubstr;

constexpr double exact_rad = 1e-9;
constexpr double drawn_up_rad = 1e-6;  // the greatest inside a range is drawn up to a ten-thousandth of it

// four_wheels(): centres at z = 32 + s, the coil 64 - s long. It is drawn out at 70 mm (s = -6, droop), the stroke ends at
// s = 10 (bump), 5 N press it to 60 mm (s = 4, rest).
constexpr double droop_s = -6, rest_s = 4, bump_s = 10;

const JointReach& reach_of(const std::vector<JointReach>& reaches, const std::string& where, const std::string& name) {
  const auto found = std::find_if(reaches.begin(), reaches.end(),
                                  [&](const JointReach& one) { return one.where == where && one.name == name; });
  EXPECT_NE(found, reaches.end()) << where << ", " << name;
  static const JointReach none;
  return found == reaches.end() ? none : *found;
}

Shaft shaft_from(double x, double y, double z) {
  Shaft shaft;
  shaft.from_mm = Vec3(x, y, z);
  shaft.swing_rad = 10 * rad_per_deg;
  shaft.slide_mm = 1;
  return shaft;
}

Standing wheels_on_shafts(const Shaft& shaft, const std::string& more = "") {
  Model model = read_rig(four_wheels() + more);
  model.linkages[0].wheels[0].shaft = shaft;
  return standing(std::move(model));
}

std::vector<JointReach> reaches_of_steering(const Standing& at) {
  DrivePath path = drive_way(at);
  return steered_joint_reaches(at.model, at.solution, steering_corner(at.model), &path,
                               {path.least(), path.greatest()});
}

// A pushrod 48 mm long whose ends lie 8 mm apart across the plane.
TEST(JointsOfRods, SwingByTheArcSineOfAcrossOverLength) {
  Standing at = standing(read_rig(on_bench(rocker_arm({.across = 1}), 5)));
  EXPECT_TRUE(joint_reaches(at.model, at.solution).empty());  // nothing says how far its ends swing
  Rod& rod = at.model.linkages[0].rods[0];
  rod.part = "ball rod";
  Piece piece{"rod"};
  piece.swing_rad = 9 * rad_per_deg;
  at.model.catalogue["ball rod"] = {"ball rod", piece, {}};
  const auto by_part = joint_reaches(at.model, at.solution);
  ASSERT_EQ(by_part.size(), 1u);
  EXPECT_NEAR(by_part[0].most, std::asin(8.0 / 48), exact_rad);
  EXPECT_NEAR(by_part[0].limit, 9 * rad_per_deg, exact_rad);
  const auto found = judge_joints(by_part);
  ASSERT_EQ(found.size(), 1u);
  EXPECT_EQ(found[0].code, "joint-binds");
  EXPECT_EQ(found[0].level, Level::warning);
  EXPECT_EQ(found[0].where, "c/pushrod");
  EXPECT_EQ(found[0].text, "its ball ends stand askew by 9.6 degrees, over 9: they bind");
  rod.swing_rad = 10 * rad_per_deg;  // its own key wins
  EXPECT_TRUE(judge_joints(joint_reaches(at.model, at.solution)).empty());
}

// From (120, 16, 32) to a centre at (128, 64, 32 + s).
TEST(JointsOfShafts, SwingByTheAnglesOfATriangleOverTheTravel) {
  const Standing at = wheels_on_shafts(shaft_from(120, 16, 32));
  const auto reaches = joint_reaches(at.model, at.solution);
  for (const char* side : {"front left/hub", "front right/hub"})
    for (const char* joint : {"its shaft's inner joint", "its shaft's outer joint"}) {
      const JointReach& reach = reach_of(reaches, side, joint);
      EXPECT_NEAR(reach.most, std::atan2(std::hypot(8, bump_s), 48), exact_rad) << side << joint;
      EXPECT_NEAR(reach.at.travel_mm.value(), bump_s - droop_s, 1e-9);
      EXPECT_FALSE(reach.at.drive);
    }
  const JointReach& slide = reach_of(reaches, "front left/hub", "its shaft");
  EXPECT_NEAR(slide.most, std::hypot(8, 48, bump_s) - std::hypot(8, 48), 1e-6);
  EXPECT_NEAR(slide.shortest_mm, std::hypot(8, 48), 1e-6);
  EXPECT_NEAR(slide.shortest_at->travel_mm.value(), -droop_s, 0.01);
}

TEST(JointsOfShafts, StartOnTheOtherSideForACornerOnTheOtherSide) {
  const Standing at = wheels_on_shafts(shaft_from(120, 16, 32));
  EXPECT_EQ(shaft_start_mm(at.model, {0, 0}), Vec3(120, 16, 32));
  EXPECT_EQ(shaft_start_mm(at.model, {1, 0}), Vec3(120, -16, 32));
  EXPECT_EQ(shaft_start_mm(at.model, {2, 0}), Vec3(120, 16, 32));  // the same point, far from a rear wheel
}

TEST(JointsOfShafts, AreToldWithWhereAndByHowMuch) {
  const Standing at = wheels_on_shafts(shaft_from(128, 16, 32));
  const auto found = judge_joints(joint_reaches(at.model, at.solution));
  const auto first =
      std::find_if(found.begin(), found.end(), [](const Finding& f) { return f.where == "front left/hub"; });
  ASSERT_NE(first, found.end());
  EXPECT_EQ(first->text,  // atan(10 / 48) is 11.77 degrees
            "its shaft's inner joint swings by 11.8 degrees at 16.0 mm of travel, over 10: it binds");
  // sqrt(48^2 + 10^2) is 49.03
  EXPECT_THAT(std::next(first, 2)->text,
              HasSubstr("its shaft grows by 1.0 mm, from 48.0 mm at 6.0 mm of travel to 49.0 mm at"));
}

// The kingpin at (128, 48), the wheel's centre 16 mm outside it; the wheel turned by d and s above the corner's place.
TEST(JointsOfShafts, SwingOverTravelAndLockOfASteeredWheel) {
  const Standing at = wheels_on_shafts(shaft_from(128, 16, 32), rack_steering({}) + top_corner("steer", 16));
  const auto unsteered = joint_reaches(at.model, at.solution);
  EXPECT_TRUE(std::none_of(unsteered.begin(), unsteered.end(),
                           [](const JointReach& one) { return one.where.starts_with("front"); }));
  const SteerResult steering = steer(at.model, at.solution, {.clearance = false});
  ASSERT_TRUE(steering.steered);
  // The tie rod lies level as drawn and turns the wheel as it rises: by how much is taken from its bump steer.
  double inner = 0, outer = 0, shortest = 1e9;
  for (std::size_t end = 0; end < 2; ++end) {
    const auto& bump = steering.steered->steering[0].bump[0].lock[end];
    ASSERT_TRUE(bump);
    for (const BumpPoint& point : bump->points) {
      const double d = (steering.steered->steering[0].wheels[0].lock_deg[end] + point.toe_deg) * rad_per_deg;
      const double s = point.travel_mm + droop_s;
      const Vec3 along(-16 * std::sin(d), 32 + 16 * std::cos(d), s), axis(-std::sin(d), std::cos(d), 0);
      inner = std::max(inner, std::acos(along.y() / along.norm()));
      outer = std::max(outer, std::acos(along.dot(axis) / along.norm()));
      shortest = std::min(shortest, along.norm());
    }
  }
  const auto reaches = reaches_of_steering(at);
  EXPECT_NEAR(reach_of(reaches, "front left/hub", "its shaft's inner joint").most, inner, drawn_up_rad);
  EXPECT_NEAR(reach_of(reaches, "front left/hub", "its shaft's outer joint").most, outer, drawn_up_rad);
  const JointReach& slide = reach_of(reaches, "front left/hub", "its shaft");
  EXPECT_NEAR(slide.shortest_mm, shortest, 0.01);  // between two points of the curve
  EXPECT_TRUE(slide.at.drive.has_value());
}

// Level at rest, 28 mm long: its outer ball goes along with a wheel that falls by 10 mm and rises by 6.
TEST(JointsOfTieRods, SwingByTheHeightThatTheWheelTakesTheirBall) {
  Model model = read_rig(four_wheels() + rack_steering({}) + top_corner("steer", 16));
  for (Rod& rod : model.linkages[1].rods) rod.swing_rad = 15 * rad_per_deg;
  const Standing at = standing(std::move(model));
  const auto reaches = reaches_of_steering(at);
  for (const char* end : {"its ball end on rack", "its ball end on knuckle-left"}) {
    const JointReach& reach = reach_of(reaches, "steer corner/left", end);
    EXPECT_NEAR(reach.most, std::asin((rest_s - droop_s) / 28), drawn_up_rad);
    EXPECT_NEAR(reach.at.travel_mm.value(), 0, 1e-9);
  }
  const SteerResult steering = steer(at.model, at.solution, {.clearance = false});
  ASSERT_TRUE(steering.steered);
  EXPECT_THAT(finding(*steering.steered, "joint-binds").text, HasSubstr("swings by 20.9 degrees at 0.0 mm of travel"));
  const auto all = look_further(at.model, at.solution).findings;
  EXPECT_EQ(std::count_if(all.begin(), all.end(), [](const Finding& f) { return f.code == "joint-binds"; }), 4);
}

// A rod across the vehicle, a kingpin that leans inwards by 10 degrees: at rest the rod leaves the knuckle's own plane by as
// much, and the rack's not at all.
TEST(JointsOfTieRods, StandInThePlanePerpendicularToALeaningKingpin) {
  Model model = read_rig(on_drawing(rack_steering({.stroke = "[-0.001, 0.001]", .end = ""}), "steer"));
  for (Rod& rod : model.linkages[0].rods) rod.swing_rad = 15 * rad_per_deg;
  for (Wheel& wheel : model.linkages[0].wheels) wheel.king_rad = {0, 10 * rad_per_deg};
  const AssembleResult assembled = assemble(model.linkages[0], model.module_mm);
  ASSERT_TRUE(assembled.assembly);
  DrivePathOrProblem way = find_drive_path(*assembled.assembly, model.module_mm);
  ASSERT_TRUE(way.path);
  Solution drawn;
  drawn.corners.emplace_back().poses = body_poses(assembled.assembly->q);
  const auto reaches = steered_joint_reaches(model, drawn, 0, &*way.path, {way.path->least(), way.path->greatest()});
  EXPECT_NEAR(reach_of(reaches, "steer corner/left", "its ball end on knuckle-left").most, 10 * rad_per_deg, 1e-4);
  EXPECT_NEAR(reach_of(reaches, "steer corner/left", "its ball end on rack").most, 0, 1e-4);
}

}  // namespace
}  // namespace ridepitch
