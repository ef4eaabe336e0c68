// Axes and signs, and what scaling a whole vehicle does.
//
// ISO 8855:2011: x forward, y left, z up, right-handed, quoted second-hand. By the right hand, pitch about y is
// positive nose down and roll about x positive right side down.

#include <fmt/format.h>
#include <gtest/gtest.h>

#include <Eigen/Geometry>

#include <cmath>

#include "reference/models.hpp"
#include "ride/system.hpp"
#include "rigs/texts.hpp"

namespace ridepitch {
namespace {

// world = Ry(pitch) Rx(roll), against Eigen's rotations.
TEST(Attitude, IsPitchAboutYOfRollAboutX) {
  const State state{.height_mm = 41, .pitch_rad = 0.31, .roll_rad = -0.47, .q = {}};
  const Eigen::Matrix3d R =
      (Eigen::AngleAxisd(0.31, Vec3::UnitY()) * Eigen::AngleAxisd(-0.47, Vec3::UnitX())).toRotationMatrix();
  for (const Vec3& point : {Vec3(100, 0, 0), Vec3(0, 60, 0), Vec3(-80, -60, 35)}) {
    EXPECT_NEAR((levelled(state, point) - R * point).norm(), 0, 1e-12);
    EXPECT_NEAR(height_of(state, point), 41 + (R * point).z(), 1e-12);
  }
}

TEST(Attitude, IsPositiveNoseDownAndRightSideDown) {
  const State nose_down{.height_mm = 50, .pitch_rad = 0.1, .roll_rad = 0, .q = {}};
  const State right_down{.height_mm = 50, .pitch_rad = 0, .roll_rad = 0.1, .q = {}};
  EXPECT_LT(height_of(nose_down, Vec3(100, 0, 0)), 50);   // ahead
  EXPECT_LT(height_of(right_down, Vec3(0, -60, 0)), 50);  // right
}

double ride_height(const Solution& solution, const std::string& name) {
  for (const CornerResult& corner : solution.corners)
    if (corner.name == name) return corner.ride_height_mm.value();
  ADD_FAILURE() << "no corner '" << name << "'";
  return 0;
}

TEST(Attitude, OfAVehicleFollowsItsCentreOfGravity) {
  const Solution forward = solved(slide_car({.cg_x_mm = 10})), right = solved(slide_car({.cg_y_mm = -10}));
  ASSERT_TRUE(forward.vehicle && right.vehicle);
  EXPECT_GT(forward.vehicle->pitch_deg, 0.1);
  EXPECT_NEAR(forward.vehicle->roll_deg, 0, 1e-9);
  EXPECT_LT(ride_height(forward, "front left"), ride_height(forward, "rear left") - 0.1);
  EXPECT_GT(right.vehicle->roll_deg, 0.1);
  EXPECT_LT(ride_height(right, "front right"), ride_height(right, "front left") - 0.1);
}

// A vehicle on trailing and leading arms with pushrods, everything in it scaled: lengths by s, masses by s^3, rates by
// s^2.
std::string scaled_vehicle(double s) {
  const std::string linkage = rocker_arm({.free_mm = 56 * s, .solid_mm = 40 * s, .rate_n_per_mm = 1.4 * s * s});
  return fmt::format(R"(format = 1
name = "scaled"
module_mm = {}
[[mass]]
name = "body"
grams = {}
at = [1.5, 0, 4]
size = [40, 12, 6]
)",
                     8 * s, 2400 * s * s * s) +
         linkage + corner("front left", "l", 10, 8) + "mirror = true\n" + corner("rear left", "l", -10, 8) +
         "flip = true\nmirror = true\n";
}

Solution solved_scaled(double s) {
  return solved(scaled_vehicle(s), {.diameter_mm = 56 * s, .mass_g = 30 * s * s * s, .rate_n_per_mm = {}});
}

// Dimensional analysis (Froude; same gravity, same density): frequencies go with 1/sqrt(s), forces with s^3, rates with
// s^2; angles and ratios stay.
TEST(ScaledVehicle, KeepsItsAnglesAndSlowsItsModes) {
  const Solution one = solved_scaled(1);
  for (const double s : {0.25, 0.5, 2.0, 3.0}) {
    const Solution other = solved_scaled(s);
    ASSERT_TRUE(one.vehicle && other.vehicle);
    ASSERT_NE(one.vehicle->pitch_deg, 0);
    EXPECT_NEAR(other.vehicle->pitch_deg, one.vehicle->pitch_deg, 1e-9) << s;
    ASSERT_EQ(one.vehicle->modes.size(), 3u);
    ASSERT_EQ(other.vehicle->modes.size(), 3u);
    for (std::size_t i = 0; i < 3; ++i)
      EXPECT_NEAR(other.vehicle->modes[i].frequency_hz * std::sqrt(s), one.vehicle->modes[i].frequency_hz, 1e-8) << s;
    for (std::size_t c = 0; c < one.corners.size(); ++c) {
      const WheelResult &a = one.corners[c].wheels[0], &b = other.corners[c].wheels[0];
      EXPECT_EQ(a.state, WheelState::riding);
      EXPECT_NEAR(b.motion_ratio.value(), a.motion_ratio.value(), 1e-9) << s;
      EXPECT_NEAR(b.reserve.value(), a.reserve.value(), 1e-8) << s;
      EXPECT_NEAR(b.sag_mm.value() / s, a.sag_mm.value(), 1e-8) << s;
      EXPECT_NEAR(b.wheel_rate_n_per_mm.value() / (s * s), a.wheel_rate_n_per_mm.value(), 1e-9) << s;
      EXPECT_NEAR(b.ground_load_n.value() / (s * s * s), a.ground_load_n.value(), 1e-8) << s;
      EXPECT_NEAR(b.frequency_hz.value() * std::sqrt(s), a.frequency_hz.value(), 1e-8) << s;
    }
  }
}

}  // namespace
}  // namespace ridepitch
