// The way of a drive: places in closed form, ends and their names. Closed forms are plane trigonometry.

#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "steer/steered.hpp"

namespace ridepitch {
namespace {

using testing::UnorderedElementsAre;

/// Crank a, coupler b, rocker c, ground d, in modules; the crank along +u at 0. Driven at the crank's pin.
std::string four_bar(double a, double b, double c, double d, const std::string& drive, const std::string& near_B) {
  return on_drawing(fmt::format(R"(
[linkage.bar]
plane = "top"
[linkage.bar.body]
chassis = {{ holes = {{ A = [0, 0], D = [{3}, 0], post = [0, 2] }} }}
crank = {{ holes = {{ root = [0, 0], end = [{0}, 0] }} }}
rocker = {{ holes = {{ root = [0, 0], end = [{2}, 0] }}, near = {{ end = {5} }} }}
[[linkage.bar.pin]]
join = ["chassis.A", "crank.root"]
name = "crank pivot"
[[linkage.bar.pin]]
join = ["chassis.D", "rocker.root"]
[linkage.bar.rod.coupler]
from = "crank.end"
to = "rocker.end"
length = {1}
[linkage.bar.drive]
pin = "crank pivot"
{4}
)",
                                a, b, c, d, drive, near_B),
                    "bar");
}

/// Angle of the rocker for a crank angle, by the two circles that meet at its end; side +1: to the left of crank end -> D.
double rocker_angle(double a, double b, double c, double d, double crank, int side) {
  const Vec2 P(a * std::cos(crank), a * std::sin(crank)), D(d, 0);
  const Vec2 way = D - P;
  const double e = way.norm(), along = (b * b - c * c + e * e) / (2 * e), across = std::sqrt(b * b - along * along);
  const Vec2 u = way / e, B = P + along * u + side * across * Vec2(-u.y(), u.x());
  return std::atan2(B.y() - D.y(), B.x() - D.x());
}

TEST(DrivePath, FollowsAFourBarInClosedForm) {
  const double a = 3, b = 9, c = 6, d = 8;
  const Model model = read_rig(four_bar(a, b, c, d, "range_deg = [-100, 150]", "[11, 5]"));
  DrivePath way = way_of(model, "bar");
  EXPECT_DOUBLE_EQ(way.least(), -100 * per_deg);
  EXPECT_DOUBLE_EQ(way.greatest(), 150 * per_deg);
  EXPECT_EQ(way.ends[0].name, "range");
  const DriveSweep sweep = sweep_drive(way, way.least(), way.greatest(), 501);
  ASSERT_EQ(sweep.drive.size(), 501u);
  for (std::size_t i = 0; i < sweep.drive.size(); ++i) {
    const double rocker = sweep.q(angle_of(model, "bar", "rocker"), static_cast<Eigen::Index>(i));
    EXPECT_NEAR(std::remainder(rocker - rocker_angle(a, b, c, d, sweep.drive[i], 1), 2 * std::numbers::pi), 0, 1e-9)
        << sweep.drive[i];
    EXPECT_NEAR(sweep.drive[i], (-100 + 250 * static_cast<double>(i) / 500) * per_deg, 1e-14);
  }
}

TEST(DrivePath, HasTheVelocityRatioOfAFourBarAsItsMotion) {
  // omega4 / omega2 = a sin(t2 - t3) / (c sin(t4 - t3)): any text on linkages.
  const double a = 3, b = 9, c = 6, d = 8;
  const Model model = read_rig(four_bar(a, b, c, d, "range_deg = [-100, 150]", "[11, 5]"));
  DrivePath way = way_of(model, "bar");
  DriveWorkspace room;
  prepare(way, room);
  Eigen::VectorXd motion;
  for (const double crank : {-90.0, -20.0, 0.0, 35.0, 140.0}) {
    const double t2 = crank * per_deg, t4 = rocker_angle(a, b, c, d, t2, 1);
    const double t3 = std::atan2(c * std::sin(t4) - a * std::sin(t2), d + c * std::cos(t4) - a * std::cos(t2));
    drive_motion(way, placed(way, t2), room, motion);
    EXPECT_NEAR(motion[angle_of(model, "bar", "rocker")], a * std::sin(t2 - t3) / (c * std::sin(t4 - t3)), 1e-9)
        << crank;
  }
}

TEST(DrivePath, PassesAWholeTurnOfACrankInTwoHalves) {  // Grashof: shortest + longest < the other two
  const Model model = read_rig(four_bar(2, 9, 6, 8, "", "[11, 5]"));
  const DrivePath way = way_of(model, "bar");
  EXPECT_DOUBLE_EQ(way.greatest(), std::numbers::pi);
  EXPECT_DOUBLE_EQ(way.least(), -std::numbers::pi);
  EXPECT_EQ(way.ends[0].name, "half turn");
}

TEST(DrivePath, EndsAtTheDeadPointOfAFourBar) {
  // Crank 6, coupler 4, rocker 5, ground 4: the crank stops where coupler and rocker lie in one line, at the angle with
  // 9^2 = 6^2 + 4^2 - 2 6 4 cos (law of cosines), so at cos = -29/48, and the drive can't go on.
  const Model model = read_rig(four_bar(6, 4, 5, 4, "range_deg = [-170, 170]", "[5, 4.5]"));
  const DrivePath way = way_of(model, "bar");
  const double dead = std::acos(-29.0 / 48);
  EXPECT_EQ(way.ends[1].name, "dead point");
  EXPECT_NEAR(way.greatest(), dead, 1e-12);
  EXPECT_NEAR(way.anchors.back().q[5], std::atan2(6 * std::sin(dead), 6 * std::cos(dead) - 4), 1e-6);
  EXPECT_THAT(way.ends[1].with, testing::IsSupersetOf({"coupler", "rocker"}));
}

/// The rack's value at which the left rod and arm lie in one line: their ends are r + L or |L - r| from the kingpin.
double dead_rack_mm(const RackSteering& rack, double distance) {
  const double across = std::sqrt(distance * distance - rack.guide_x * rack.guide_x * module_mm * module_mm);
  return (6 - (6 - rack.arm_in - rack.rod)) * module_mm - across;
}

TEST(DrivePath, EndsWhereTheRodsOfARackCanNotFollowItsStroke) {
  RackSteering rack;
  rack.stroke = "[-5, 5]";
  const Model model = read_rig(on_drawing(rack_steering({.stroke = "[-5, 5]", .end = ""}), "steer"));
  DrivePath way = way_of(model, "steer");
  const double arm = std::hypot(rack.arm_x, rack.arm_in) * module_mm;
  const double dead = dead_rack_mm(rack, arm + rack.rod * module_mm);
  EXPECT_LT(dead, 0);
  EXPECT_NEAR(way.least(), dead, 1e-10);
  EXPECT_NEAR(way.greatest(), -dead, 1e-10);
  EXPECT_EQ(way.ends[0].name, "dead point");
  EXPECT_THAT(way.ends[0].with, UnorderedElementsAre("knuckle-left", "left", "rack"));
  EXPECT_THAT(way.ends[1].with, UnorderedElementsAre("knuckle-right", "right", "rack"));
  // There the arm points along the rod: from the kingpin to the rack's end.
  const double rack_end_v = (6 - rack.arm_in - rack.rod) * module_mm + dead;
  const double pointing = std::atan2(rack_end_v - 6 * module_mm, rack.guide_x * module_mm);
  const double drawn = std::atan2(-rack.arm_in, rack.arm_x);
  const double turned = std::remainder(pointing - drawn, 2 * std::numbers::pi);
  EXPECT_NEAR(way.anchors.front().q[angle_of(model, "steer", "knuckle-left")], turned, 1e-6);
}

TEST(DrivePath, FollowsARackUpToItsDeadPointOnTheWayItCame) {  // two circles meet at the arm's end
  RackSteering rack;
  const Model model = read_rig(on_drawing(rack_steering({.stroke = "[-5, 5]", .end = ""}), "steer"));
  DrivePath way = way_of(model, "steer");
  const double arm = std::hypot(rack.arm_x, rack.arm_in) * module_mm, rod = rack.rod * module_mm;
  const DriveSweep sweep = sweep_drive(way, way.least(), way.greatest(), 2001);
  const Eigen::Index left = angle_of(model, "steer", "knuckle-left");
  for (std::size_t i = 1; i + 1 < sweep.drive.size(); ++i) {
    const Vec2 king(0, 48), end(rack.guide_x * module_mm, (6 - rack.arm_in - rack.rod) * module_mm + sweep.drive[i]);
    const Vec2 to = end - king;
    const double e = to.norm(), along = (arm * arm - rod * rod + e * e) / (2 * e),
                 across = std::sqrt(arm * arm - along * along);
    const Vec2 u = to / e, point = along * u - across * Vec2(-u.y(), u.x());
    const double angle = std::atan2(point.y(), point.x()) - std::atan2(-rack.arm_in, rack.arm_x);
    // Beside the dead point an angle follows from the root of what is left: it loses half of the digits there.
    const double left_over =
        std::max(1e-12, std::min(sweep.drive[i] - way.least(), way.greatest() - sweep.drive[i]) / 30);
    EXPECT_NEAR(std::remainder(sweep.q(left, static_cast<Eigen::Index>(i)) - angle, 2 * std::numbers::pi), 0,
                1e-11 / std::sqrt(left_over))
        << sweep.drive[i];
  }
}

TEST(DrivePath, IsItsOwnMirrorImageWhereTheLinkageIs) {
  const Model model = read_rig(on_drawing(rack_steering({.end = ""}), "steer"));
  DrivePath way = way_of(model, "steer");
  EXPECT_EQ(way.ends[0].name, "stroke");
  EXPECT_DOUBLE_EQ(way.least(), -12);
  EXPECT_DOUBLE_EQ(way.greatest(), 12);
  const DriveSweep sweep = sweep_drive(way, -12, 12, 201);
  const Eigen::Index left = angle_of(model, "steer", "knuckle-left"), right = angle_of(model, "steer", "knuckle-right");
  for (Eigen::Index i = 0; i < 201; ++i) EXPECT_NEAR(sweep.q(left, i), -sweep.q(right, 200 - i), 1e-12);
}

TEST(DrivePath, OfOnePointIsThatOfAnyOther) {  // places do not depend on the points asked for before them
  const Model model = read_rig(on_drawing(rack_steering({.end = ""}), "steer"));
  DrivePath way = way_of(model, "steer");
  const DriveSweep fine = sweep_drive(way, -12, 12, 241), coarse = sweep_drive(way, -12, 12, 7);
  for (Eigen::Index i = 0; i < 7; ++i)
    EXPECT_NEAR((fine.q.col(40 * i) - coarse.q.col(i)).lpNorm<Eigen::Infinity>(), 0, 1e-10);
}

TEST(DrivePath, EndsAtAStrapExactly) {
  const Model model = read_rig(on_drawing(
      rack_steering(
          {.end = "",
           .more = "[linkage.steer.limit.strap]\nfrom = \"chassis.post\"\nto = \"knuckle-left.arm\"\nmax = 3.5\n",
           .more_holes = ", post = [-5, 3]"}),
      "steer"));
  DrivePath way = way_of(model, "steer");
  const bool at_least = way.ends[0].name == "strap max";
  ASSERT_TRUE(at_least || way.ends[1].name == "strap max");
  const DriveAnchor& end = at_least ? way.anchors.front() : way.anchors.back();
  const double theta = end.q[angle_of(model, "steer", "knuckle-left")];
  const Vec2 arm(-24 * std::cos(theta) + 4 * std::sin(theta), 48 - 24 * std::sin(theta) - 4 * std::cos(theta));
  EXPECT_NEAR((arm - Vec2(-40, 24)).norm(), 28, 1e-9);
  EXPECT_LT(std::abs(end.drive), 12);
}

TEST(DrivePath, EndsWherePartsOfOneLayerMeet) {
  // A post of the chassis, two holes one over the other, beside the left arm; both are beams of 7.8 mm.
  const std::string text = rack_steering({.end = "",
                                          .more_holes = ", p = [-3, 7.5], q = [-4, 7.5]",
                                          .chassis_more = ", layer = 0, shape = [\"p\", \"q\"]",
                                          .left_layer = ", layer = 0, shape = [\"king\", \"arm\"]"});
  const Model model = read_rig(on_drawing(text, "steer"));
  DrivePath way = way_of(model, "steer");
  const std::size_t e = way.ends[0].name == "contact" ? 0 : 1;
  ASSERT_EQ(way.ends[e].name, "contact");
  EXPECT_THAT(way.ends[e].with, UnorderedElementsAre("body 'chassis'", "body 'knuckle-left'"));
  const DriveAnchor& end = e == 0 ? way.anchors.front() : way.anchors.back();
  const double theta = end.q[angle_of(model, "steer", "knuckle-left")];
  const Vec2 king(0, 48),
      arm(-24 * std::cos(theta) + 4 * std::sin(theta), 48 - 24 * std::sin(theta) - 4 * std::cos(theta));
  // The nearest points are the post's hole p and the arm's middle line, or the arm's end and p.
  const Vec2 p(-24, 60), along = (arm - king).normalized();
  const double t = std::min((p - king).dot(along), (arm - king).norm());
  EXPECT_NEAR((p - king - t * along).norm(), 7.8, 1e-9);
}

TEST(DrivePath, IsRefusedWhereSomethingIsLooseWithTheDriveHeld) {
  std::string text = rack_steering({.end = ""});
  const auto at = text.find("[linkage.steer.rod.right]"), to = text.find("[linkage.steer.drive]");
  text.erase(at, to - at);
  const Problem problem = refused(on_drawing(text, "steer"));
  EXPECT_EQ(problem.code, "loose-steering");
  EXPECT_EQ(problem.fault, Fault::text);
  EXPECT_THAT(problem.text, testing::HasSubstr("'knuckle-right' can still move"));
  EXPECT_GT(problem.place.line, 0);
}

TEST(DrivePath, KeepsToARedundantLinkageToo) {  // a parallelogram with a third, equal crank between
  const Model model = read_rig(on_drawing(R"(
[linkage.bar]
plane = "top"
[linkage.bar.body]
chassis = { holes = { a = [0, 6], b = [0, 0], c = [0, -6] } }
one = { holes = { king = [0, 0], arm = [-3, 0] }, near = { arm = [-3, 6] } }
two = { holes = { king = [0, 0], arm = [-3, 0] }, near = { arm = [-3, 0] } }
three = { holes = { king = [0, 0], arm = [-3, 0] }, near = { arm = [-3, -6] } }
bar = { holes = { a = [0, 6], b = [0, 0], c = [0, -6] }, near = { a = [-3, 6] } }
[[linkage.bar.pin]]
join = ["chassis.a", "one.king"]
[[linkage.bar.pin]]
join = ["chassis.b", "two.king"]
[[linkage.bar.pin]]
join = ["chassis.c", "three.king"]
[[linkage.bar.pin]]
join = ["bar.a", "one.arm"]
[[linkage.bar.pin]]
join = ["bar.b", "two.arm"]
[[linkage.bar.pin]]
join = ["bar.c", "three.arm"]
[linkage.bar.drive]
pin = "chassis.b"
range_deg = [-60, 60]
)",
                                          "bar"));
  DrivePath way = way_of(model, "bar");
  EXPECT_DOUBLE_EQ(way.greatest(), 60 * per_deg);
  for (const double angle : {-60.0, -31.0, 0.0, 17.0, 59.0}) {
    const Eigen::VectorXd q = placed(way, angle * per_deg);
    for (const char* body : {"one", "two", "three"})
      EXPECT_NEAR(std::remainder(q[angle_of(model, "bar", body)] - angle * per_deg, 2 * std::numbers::pi), 0, 1e-11)
          << body;
  }
}

}  // namespace
}  // namespace ridepitch
