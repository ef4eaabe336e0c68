// What must hold for every rack: its ties are met at every place, its motion is the slope of its places, its ends are where
// the closed form of the two circles ends, and a mirrored linkage gives mirrored angles.

#include <fmt/format.h>
#include <gtest/gtest.h>

#include <cmath>
#include <cstdlib>
#include <random>

#include "linkage/closure.hpp"
#include "rigs/scale.hpp"
#include "steer/steered.hpp"

namespace ridepitch {
namespace {

TEST(RandomRack, KeepsItsTiesItsSlopeAndItsMirrorImage) {
  std::mt19937 random(20260301);
  const auto uniform = [&](double low, double high) {
    return low + (high - low) * static_cast<double>(random()) / 4294967295.0;
  };
  for (int n = 0; n < scaled(60, 3); ++n) {
    RackSteering rack{.end = ""};
    rack.arm_x = rack.right_arm_x = (random() % 2 ? 1 : -1) * uniform(2, 5);
    rack.guide_x = rack.arm_x + uniform(-0.7, 0.7);
    rack.arm_in = uniform(-1.5, 1.5);
    rack.rod = uniform(2, 5);
    const double stroke = uniform(0.3, 4);
    rack.stroke = fmt::format("[{}, {}]", -stroke, stroke);
    // The rack's ends are drawn so that rods lie along v; off the guide's line they are drawn out of it.
    rack.rod = rack.right_rod = std::hypot(rack.rod, rack.guide_x - rack.arm_x);
    const Model model = read_rig(on_drawing(rack_steering(rack), "steer"));
    DrivePath way = way_of(model, "steer");
    ASSERT_FALSE(way.anchors.empty());
    EXPECT_LE(way.greatest(), stroke * 8 + 1e-12);
    EXPECT_NEAR(way.least(), -way.greatest(), 1e-9);
    constexpr int points = 101;
    const DriveSweep sweep = sweep_drive(way, way.least(), way.greatest(), points);
    const Eigen::Index left = angle_of(model, "steer", "knuckle-left"),
                       right = angle_of(model, "steer", "knuckle-right");
    Closure room;
    prepare(way.mechanism, room);
    DriveWorkspace drive_room;
    prepare(way, drive_room);
    const double h = 1e-5 * way.greatest();
    Eigen::VectorXd motion;
    for (int i = 0; i < points; ++i) {
      const auto k = static_cast<std::size_t>(i);
      way.mechanism.ties[static_cast<std::size_t>(way.tie)].target = sweep.drive[k];
      const Eigen::VectorXd q = sweep.q.col(i);
      measure_ties(way.mechanism, q, room);
      EXPECT_LT(room.residual.lpNorm<Eigen::Infinity>(), 1e-10) << n << " at " << sweep.drive[k];
      // Beside a dead point angles follow from a root: they lose half of their digits at its end.
      const bool end = i == 0 || i == points - 1;
      EXPECT_NEAR(sweep.q(left, i), -sweep.q(right, points - 1 - i), end ? 1e-6 : 1e-10)
          << n << " at " << sweep.drive[k];
      if (i < 10 || i > 90) continue;  // where it bends hard, differences say little
      drive_motion(way, q, drive_room, motion);
      const double slope = (placed(way, sweep.drive[k] + h)[left] - placed(way, sweep.drive[k] - h)[left]) / (2 * h);
      EXPECT_NEAR(motion[left], slope, 1e-6 * std::max(1.0, std::abs(slope))) << n << " at " << sweep.drive[k];
    }
  }
}

}  // namespace
}  // namespace ridepitch
