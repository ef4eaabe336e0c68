// Camber, track, wheelbase and roll centres of whole models: conventions and closed forms. Tyres of 60 mm.

#include <fmt/format.h>
#include <gtest/gtest.h>

#include <cmath>

#include "rigs/files.hpp"
#include "rigs/models.hpp"
#include "rigs/rest.hpp"
#include "rigs/texts.hpp"
#include "rigs/units.hpp"

namespace ridepitch {
namespace {

const WheelPath& path(const Solution& solution, std::size_t corner, std::size_t wheel = 0) {
  static const WheelPath none;
  if (corner < solution.corners.size() && solution.corners[corner].wheels[wheel].path)
    return *solution.corners[corner].wheels[wheel].path;
  ADD_FAILURE() << "no path";
  return none;
}

// A swing axle of 8 modules in the front plane, its pin at (0, 0), under a coil; the body's grid may be drawn turned.
std::string swing_axle(double load_n, bool along_v = false) {
  return replaced(on_bench(arm({.holes = along_v ? "coil = [0, 5], axle = [0, 8]" : "coil = [5, 0], axle = [8, 0]",
                                .more = coil("main", "arm.coil", "chassis.seat", 66, 40, 0.5),
                                .plane = "front"}),
                           load_n, "left"),
                  "at = [0, 0, 4]", "at = [0, 3, 4]") +
         "mirror = true\n";
}

// The arm turns about its pin: with it at an angle a over level, the wheel's top leans inward by a, by 1 / (64 cos a) rad
// for each mm that the centre rises.
TEST(WheelPath, OfASwingAxleLeansAsItsArmTurns) {
  for (const bool along_v : {false, true}) {
    const Solution solution = rested(swing_axle(1.5, along_v));
    for (const std::size_t corner : {0u, 1u}) {
      const WheelResult& wheel = solution.corners.at(corner).wheels[0];
      const double a = std::asin(wheel.centre_C_mm.y() / 64);
      EXPECT_NEAR(path(solution, corner).rest.camber_deg.value(), -a / per_deg, 1e-9) << along_v;
      EXPECT_NEAR(path(solution, corner).camber_deg_per_mm.value(), -1 / (64 * std::cos(a)) / per_deg, 1e-9) << along_v;
    }
  }
}

// The roll centre lies on the line from the contact to the pin, where that meets the plane of symmetry.
TEST(WheelPath, OfASwingAxleHasItsRollCentreOnTheLineThroughItsPin) {
  const Solution solution = rested(swing_axle(1.5));
  for (const std::size_t corner : {0u, 1u}) {
    const WheelResult& wheel = solution.corners.at(corner).wheels[0];
    const double a = std::asin(wheel.centre_C_mm.y() / 64);
    // From the pin: the arm's end, and from there 30 mm square to the arm.
    const Vec2 contact(64 * std::cos(a) + 30 * std::sin(a), 64 * std::sin(a) - 30 * std::cos(a));
    const double middle = -24;  // three modules inboard of the pin
    const double line_there = contact.y() * middle / contact.x();
    EXPECT_NEAR(path(solution, corner).rest.roll_centre_mm.value(), line_there - contact.y(), 1e-9);
  }
}

TEST(WheelPath, OfATrailingArmMovesAlongByTheTangentOfItsAngle) {
  const std::string tables = arm({.seat = "[5, 8]", .more = coil("main", "arm.coil", "chassis.seat", 66, 40, 0.5)});
  for (const bool flip : {false, true}) {
    const Solution solution = rested(on_bench(tables, 1.5) + (flip ? "flip = true\n" : ""));
    const WheelResult& wheel = solution.corners.at(0).wheels[0];
    const double a = std::asin(wheel.centre_C_mm.y() / 64);
    ASSERT_GT(std::abs(a), 0.01);
    EXPECT_NEAR(path(solution, 0).wheelbase_change_mm_per_mm.value(), (flip ? 1 : -1) * std::tan(a), 1e-9);
    const double at_droop = std::asin((wheel.centre_C_mm.y() - wheel.sag_mm.value()) / 64);
    EXPECT_NEAR(path(solution, 0).droop.wheelbase_change_mm.value(),
                (flip ? -1 : 1) * 64 * (std::cos(at_droop) - std::cos(a)), 1e-9);
    EXPECT_EQ(path(solution, 0).rest.wheelbase_change_mm.value(), 0);
    for (const auto& absent : {path(solution, 0).rest.camber_deg, path(solution, 0).rest.track_change_mm,
                               path(solution, 0).rest.roll_centre_mm, path(solution, 0).camber_deg_per_mm})
      EXPECT_FALSE(absent.has_value());
  }
}

TEST(WheelPath, OfAFixedWheelDoesNotExist) {
  const Solution solution = rested(body(1000, 0, 0, 5) + fixed_wheel() + four_corners("f", 10, 8));
  EXPECT_FALSE(solution.corners.at(0).wheels[0].path.has_value());
  ASSERT_EQ(solution.axles.size(), 2u);
  EXPECT_NEAR(solution.axles[0].track_mm, 128, 1e-9);
  EXPECT_FALSE(solution.axles[0].roll_centre_mm.has_value());
}

// Every slope that is given is the difference of what is given over the travel: five-point formula, M. Abramowitz and
// I. Stegun, table 25.2, error h^4 f(5) / 30 (h is a ninth of a mm).
TEST(WheelPath, SlopesAreTheDifferencesOfItsPoints) {
  const Solution solution = solved(demo("scout-car"));
  ASSERT_FALSE(solution.curves.empty());
  for (const Curve& curve : solution.curves) {
    const auto& p = curve.points;
    const double h = p[1].travel_mm - p[0].travel_mm;
    for (std::size_t i = 2; i + 2 < p.size(); i += 10) {
      const auto slope = [&](auto value) {
        return (value(p[i - 2]) - 8 * value(p[i - 1]) + 8 * value(p[i + 1]) - value(p[i + 2])) / (12 * h);
      };
      EXPECT_NEAR(p[i].motion.turn_rad_per_mm, slope([](const CurvePoint& q) { return q.motion.turn_rad; }), 1e-8);
      EXPECT_NEAR(p[i].motion.centre_per_mm.x(), slope([](const CurvePoint& q) { return q.centre_C_mm.x(); }), 1e-7);
      EXPECT_NEAR(p[i].motion.centre_per_mm.y(), 1, 1e-9);
    }
  }
}

TEST(WheelPath, OfACurveAgreesWithRestWhereItPassesIt) {
  const Solution solution = solved(demo("scout-car"));
  for (const Curve& curve : solution.curves) {
    const WheelResult& wheel = solution.corners[static_cast<std::size_t>(curve.corner)].wheels[0];
    for (std::size_t i = 0; i + 1 < curve.points.size(); ++i) {
      const CurvePoint &a = curve.points[i], &b = curve.points[i + 1];
      if (!(a.travel_mm <= *wheel.sag_mm && b.travel_mm >= *wheel.sag_mm)) continue;
      const double share = (*wheel.sag_mm - a.travel_mm) / (b.travel_mm - a.travel_mm);
      // Straight between points a ninth of a mm apart: off by h^2 f'' / 8, far under these.
      EXPECT_NEAR(*wheel.path->rest.camber_deg, *a.path.camber_deg + share * (*b.path.camber_deg - *a.path.camber_deg),
                  1e-4);
      EXPECT_NEAR(0, *a.path.track_change_mm + share * (*b.path.track_change_mm - *a.path.track_change_mm), 1e-4);
      EXPECT_NEAR(*wheel.path->rest.roll_centre_mm, *a.path.roll_centre_mm, 0.1);
    }
  }
}

// The axle swings about its pin in the middle: where the pin is, there is the roll centre.
TEST(Axles, OfALiveAxleOnAPivotRollsAboutIt) {
  const Solution solution = solved(demo("sand-loader"));
  ASSERT_EQ(solution.axles.size(), 2u);
  EXPECT_EQ(solution.axles[0].wheels[0], "front axle/left");
  EXPECT_EQ(solution.axles[0].wheels[1], "front axle/right");
  // Level across, the pin stands as high as the wheels' centres, a radius of 38 mm.
  EXPECT_NEAR(solution.vehicle->roll_deg, 0, 1e-9);
  EXPECT_NEAR(solution.axles[0].roll_centre_mm.value(), 38, 1e-9);
  EXPECT_NEAR(solution.axles[0].track_mm, 160, 1e-9);
  // Arms in the side plane: on the ground.
  EXPECT_NEAR(solution.axles[1].roll_centre_mm.value(), 0, 1e-9);
}

// By virtual work a body on a Panhard rod rolls about the point in which the rod's line meets the plane of symmetry.
TEST(Axles, OfALiveAxleOnAPanhardRodRollsWhereTheRodCrossesTheMiddle) {
  Model model = read_file("tests/oracle/models/panhard-axle.toml");
  model.masses.at(1).at_mm.y() = 0;  // level across
  Linkage& axle = model.linkages[0];
  // The middle spring of that model is not in the middle: without it the axle stands level, too.
  axle.springs.pop_back();
  for (Spring& spring : axle.springs) spring.count = 2;
  const Solution solution = solved(model);
  ASSERT_FALSE(solution.corners.empty());
  const std::vector<Pose>& poses = solution.corners[0].poses;
  const auto place = [&](int body, const Vec2& p) {
    const Pose& pose = poses[static_cast<std::size_t>(body)];
    const double c = std::cos(pose.theta_rad), s = std::sin(pose.theta_rad);
    return Vec2(pose.p_CB + Vec2(c * p.x() - s * p.y(), s * p.x() + c * p.y()));
  };
  const Vec2 stay = place(0, Vec2(48, 12)), eye = place(1, Vec2(-48, 4));
  // Where the wheels rise and fall alike about the middle of the axle, its instant centre lies straight over or under it.
  const Vec2 middle = place(1, Vec2(0, 0));
  const double theta = poses[1].theta_rad;
  const double v = stay.y() + (eye.y() - stay.y()) * (middle.x() - stay.x()) / (eye.x() - stay.x());
  // The line from a contact to the instant centre, at the plane of symmetry, which lies a little beside it.
  double heights = 0;
  for (const double side : {1.0, -1.0}) {
    const Vec2 contact = place(1, Vec2(side * 72, 0)) + 35 * Vec2(std::sin(theta), -std::cos(theta));
    heights += 0.5 * (contact.y() + (v - contact.y()) * (0 - contact.x()) / (middle.x() - contact.x()));
  }
  ASSERT_EQ(solution.axles.size(), 2u);
  const double pitch = solution.vehicle->pitch_deg * per_deg, roll = solution.vehicle->roll_deg * per_deg;
  const double z = 32 + heights;  // the corner sits 4 modules up, at x = 128 and y = 0
  const double height = solution.vehicle->height_mm - std::sin(pitch) * 128 + std::cos(pitch) * std::cos(roll) * z;
  EXPECT_NEAR(solution.axles[0].roll_centre_mm.value(), height, 1e-6);
}

TEST(Axles, PairTheWheelsOfBothSides) {
  const Solution solution = solved(demo("timber-forwarder"));
  ASSERT_EQ(solution.axles.size(), 3u);
  EXPECT_EQ(solution.axles[1].wheels[0], "rear left/fore");
  EXPECT_EQ(solution.axles[1].wheels[1], "rear right/fore");
  EXPECT_EQ(solution.axles[2].wheels[0], "rear left/aft");
}

}  // namespace
}  // namespace ridepitch
