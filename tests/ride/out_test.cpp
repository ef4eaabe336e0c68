// Wheels that stand beside the plane of their linkage: `out`.

#include <gtest/gtest.h>

#include <string>

#include "model/index.hpp"
#include "ride/solve.hpp"
#include "rigs/models.hpp"
#include "rigs/rest.hpp"
#include "rigs/texts.hpp"

namespace ridepitch {
namespace {

constexpr double module_mm = 8;

/// Sliding pillars at (+-10, +-6) modules under a load; the wheels of each side so far out.
Model vehicle(double left_out, double right_out, double mass_y, double corner_y = 6) {
  const auto linkage = [](const std::string& name, double out) {
    return upright({.name = name,
                    .free_mm = 64,
                    .rate_n_per_mm = 0.5,
                    .tyre = "part = \"tyre-62\"\nout = " + std::to_string(out)});
  };
  return read_rig(body(2000, 1, mass_y, 6) + linkage("left", left_out) + linkage("right", right_out) +
                  corner("front left", "left", 10, corner_y) + corner("front right", "right", 10, -corner_y) +
                  corner("rear left", "left", -10, corner_y) + corner("rear right", "right", -10, -corner_y));
}

double load_n(const Solution& solution, int corner) { return *at(solution.corners, corner).wheels[0].ground_load_n; }

TEST(Out, MovesTheContactsThatCarryTheWeight) {
  // Level across: the mass stands half way between contacts at y = 6 + 4 and y = -(6 + 1), so at y = 1.5, and all springs
  // carry what they carry on both sides alike. Moments about the other side's contacts then say half the weight each.
  const Solution solution = solved(vehicle(4, 1, 1.5));
  EXPECT_NEAR(solution.vehicle->roll_deg, 0, 1e-9);
  EXPECT_NEAR(load_n(solution, 0), load_n(solution, 1), 1e-9);
  EXPECT_NEAR(load_n(solution, 2), load_n(solution, 3), 1e-9);
  // Without `out` the same mass leans it to the left.
  EXPECT_GT(load_n(solved(vehicle(0, 0, 1.5)), 0), load_n(solved(vehicle(0, 0, 1.5)), 1) + 1);
}

TEST(Out, IsTheSameAsPlanesThatStandSoMuchFartherOut) {
  // A linkage in the side plane does nothing across it: only where its wheels are counts.
  const Solution beside = solved(vehicle(2.5, 2.5, 0.75)), farther = solved(vehicle(0, 0, 0.75, 8.5));
  EXPECT_NEAR(beside.vehicle->roll_deg, farther.vehicle->roll_deg, 1e-9);
  EXPECT_NEAR(beside.vehicle->pitch_deg, farther.vehicle->pitch_deg, 1e-9);
  for (int c = 0; c < 4; ++c) {
    EXPECT_NEAR(load_n(beside, c), load_n(farther, c), 1e-9);
    EXPECT_NEAR(*at(beside.corners, c).wheels[0].travel_mm, *at(farther.corners, c).wheels[0].travel_mm, 1e-9);
    EXPECT_NEAR((at(beside.corners, c).wheels[0].contact_mm - at(farther.corners, c).wheels[0].contact_mm).norm(), 0,
                1e-9);
  }
  ASSERT_EQ(beside.axles.size(), 2u);
  EXPECT_NEAR(beside.axles[0].track_mm, farther.axles[0].track_mm, 1e-9);
}

TEST(Out, CountsOutwardOnBothSidesAndMakesTheTrack) {
  const Solution solution = solved(vehicle(2, 2, 0));
  ASSERT_EQ(solution.axles.size(), 2u);
  EXPECT_NEAR(solution.axles[0].track_mm, 2 * (6 + 2) * module_mm, 1e-9);
}

TEST(Out, MayCarryAWheelOverTheMiddleAndItsSideStaysItsCorners) {
  // Left wheels at y = 6 - 8 = -2, right ones at -6 - 1 = -7: nothing stands between them and the mass at -4 but those.
  const Solution solution = solved(vehicle(-8, 1, -4.5));
  EXPECT_NEAR(load_n(solution, 0), load_n(solution, 1), 1e-9);
}

}  // namespace
}  // namespace ridepitch
