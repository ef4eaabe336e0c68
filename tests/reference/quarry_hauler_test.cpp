// tests/models/quarry-hauler.toml against values found by an independent solver.
//
// That solver differences energies and paths, so its modes and margins hold to 3e-8 only (bounce centre -89.31703972,
// margins 69.89943743 and 68.489811). Those given here are of the same vehicle worked out in forty digits: pushrod and
// arm as two meeting circles, the energy over height and pitch differentiated, the 2 x 2 eigenproblem.

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <string>

#include "rigs/models.hpp"
#include "rigs/rest.hpp"

namespace ridepitch {
namespace {

// To 1e-8 of the value, and of 1 where it is smaller: the values have ten digits.
void expect_close(double value, double expected, const std::string& what) {
  EXPECT_NEAR(value, expected, 1e-8 * std::max(1.0, std::abs(expected))) << what;
}

Solution hauler() { return solved(demo("quarry-hauler")); }

struct Axle {
  double load_n, ground_load_n, sag_mm, bump_travel_mm, motion_ratio, wheel_rate_n_per_mm, frequency_hz, reserve;
  double ride_height_mm, length_mm, force_n, total_force_n, rod_n;
  std::array<double, 2> arm_pin, rocker_pin;  // on the arm, on the rocker, in the chassis grid
};
constexpr Axle front{6.592650284,
                     7.347762334,
                     10.99312739,
                     14.61842979,
                     0.6250174967,
                     0.4840924144,
                     4.270852659,
                     2.040288514,
                     37.42354632,
                     49.10932627,
                     5.272217711,
                     10.54443542,
                     10.54479342,
                     {0.06459608922, 3.952481849},
                     {-10.54217878, -10.53928556}};
constexpr Axle rear{5.175329716,
                    5.930441766,
                    8.074575098,
                    17.53698208,
                    0.6253147375,
                    0.483215819,
                    4.815950665,
                    2.599043808,
                    39.04599039,
                    50.93378591,
                    4.141052735,
                    8.28210547,
                    8.287202734,
                    {-0.06495218158, 3.112129716},
                    {-8.269580867, -8.257932461}};

TEST(QuarryHauler, StandsAsTheIndependentSolverFound) {
  const Solution solution = hauler();
  ASSERT_TRUE(solution.vehicle);
  const VehicleResult& vehicle = *solution.vehicle;
  expect_close(vehicle.mass_kg, 2.4, "mass");
  expect_close(vehicle.total_mass_kg, 2.708, "total mass");
  expect_close(vehicle.cg_mm.x() / 8, 2.158333333, "cg x");
  expect_close(vehicle.cg_mm.y() / 8, 0, "cg y");
  expect_close(vehicle.cg_mm.z() / 8, 5.325, "cg z");
  expect_close(vehicle.pitch_deg, 0.5810049449, "pitch");
  expect_close(vehicle.roll_deg, 0, "roll");
  EXPECT_FALSE(vehicle.indeterminate);
  EXPECT_FALSE(vehicle.snapped);
  ASSERT_EQ(solution.clearances.size(), 1u);
  expect_close(solution.clearances[0].height_mm, 14.23600229, "belly");
}

TEST(QuarryHauler, HasTheModesThatTheIndependentSolverFound) {
  const Solution solution = hauler();
  ASSERT_TRUE(solution.vehicle);
  const std::vector<Mode>& modes = solution.vehicle->modes;
  ASSERT_EQ(modes.size(), 3u);
  EXPECT_EQ(modes[0].name, "bounce");
  expect_close(modes[0].frequency_hz, 4.463283087693, "bounce");
  expect_close(modes[0].centre_modules.value(), -89.317042101065, "centre of bounce");
  EXPECT_EQ(modes[1].name, "pitch");
  expect_close(modes[1].frequency_hz, 7.146856185580, "pitch");
  expect_close(modes[1].centre_modules.value(), 3.606616360240, "centre of pitch");
  EXPECT_EQ(modes[2].name, "roll");
  // That solver let tyres slip sideways: 7.658220737 Hz about the centre of gravity. With tyres that grip it rolls about the
  // ground, I + m h^2 (Steiner's theorem), the axis being level within 0.6 degrees. I of the four boxes, in kg module^2:
  const double inertia = (0.78 * (64 + 36) + 0.82 * (100 + 9) + 0.34 * (64 + 25) + 0.46 * (324 + 64)) / 12 +
                         0.78 * 0.325 * 0.325 + 0.82 * 2.325 * 2.325 + 0.34 * 1.325 * 1.325 + 0.46 * 5.675 * 5.675;
  const double pitch_rad = solution.vehicle->pitch_deg * std::numbers::pi / 180;
  const double height =
      solution.vehicle->height_mm / 8 - std::sin(pitch_rad) * 2.158333333 + std::cos(pitch_rad) * 5.325;
  EXPECT_NEAR(modes[2].frequency_hz, 7.658220737 * std::sqrt(inertia / (inertia + 2.4 * height * height)), 5e-3);
  EXPECT_FALSE(modes[2].centre_modules);
}

TEST(QuarryHauler, HasTheCornersThatTheIndependentSolverFound) {
  const Solution solution = hauler();
  ASSERT_EQ(solution.corners.size(), 4u);
  for (std::size_t c = 0; c < 4; ++c) {
    const CornerResult& corner = solution.corners[c];
    const Axle& expected = c < 2 ? front : rear;
    const WheelResult& wheel = corner.wheels.at(0);
    expect_close(wheel.load_n.value(), expected.load_n, corner.name + " load");
    expect_close(wheel.ground_load_n.value(), expected.ground_load_n, corner.name + " ground load");
    expect_close(wheel.travel_mm.value(), expected.sag_mm, corner.name + " travel");
    expect_close(wheel.sag_mm.value(), expected.sag_mm, corner.name + " sag");
    expect_close(wheel.droop_travel_mm.value(), expected.sag_mm, corner.name + " droop travel");
    expect_close(wheel.bump_total_mm.value(), 25.61155718, corner.name + " whole travel");
    expect_close(wheel.bump_travel_mm.value(), expected.bump_travel_mm, corner.name + " bump travel");
    expect_close(wheel.motion_ratio.value(), expected.motion_ratio, corner.name + " motion ratio");
    expect_close(wheel.wheel_rate_n_per_mm.value(), expected.wheel_rate_n_per_mm, corner.name + " wheel rate");
    expect_close(wheel.frequency_hz.value(), expected.frequency_hz, corner.name + " frequency");
    expect_close(wheel.bump_load_n.value(), 13.45090865, corner.name + " bump load");
    expect_close(wheel.reserve.value(), expected.reserve, corner.name + " reserve");
    EXPECT_EQ(wheel.bump_end, "main solid");
    EXPECT_EQ(wheel.droop_end, "main free");
    EXPECT_EQ(wheel.state, WheelState::riding);
    expect_close(corner.ride_height_mm.value(), expected.ride_height_mm, corner.name + " ride height");
    expect_close(corner.toggle_margin_deg.value(), 69.899438244884, corner.name + " toggle margin");
    expect_close(corner.coil_margin_deg.value(), 68.489811733113, corner.name + " coil margin");
  }
}

TEST(QuarryHauler, CarriesTheForcesThatTheIndependentSolverFound) {
  const Solution solution = hauler();
  ASSERT_EQ(solution.corners.size(), 4u);
  for (std::size_t c = 0; c < 4; ++c) {
    const CornerResult& corner = solution.corners[c];
    const Axle& expected = c < 2 ? front : rear;
    const SpringResult& spring = corner.springs.at(0);
    expect_close(spring.length_mm.value(), expected.length_mm, corner.name + " spring length");
    expect_close(spring.force_n.value(), expected.force_n, corner.name + " spring force");
    expect_close(spring.total_force_n.value(), expected.total_force_n, corner.name + " both springs");
    expect_close(spring.motion_ratio.at(0).second.value(), expected.motion_ratio,
                 corner.name + " spring's motion ratio");
    expect_close(corner.rods.at(0).force_n, expected.rod_n, corner.name + " pushrod");
    ASSERT_EQ(corner.pins.size(), 2u);
    for (std::size_t p = 0; p < 2; ++p) {
      const std::array<double, 2>& on_body = p == 0 ? expected.arm_pin : expected.rocker_pin;
      expect_close(corner.pins[p].force_n, std::hypot(on_body[0], on_body[1]), corner.pins[p].name);
      ASSERT_EQ(corner.pins[p].forces.size(), 2u);
      for (const PinForce& force : corner.pins[p].forces) {
        const double sign = force.body == "chassis" ? -1 : 1;
        expect_close(force.force_C_n.x(), sign * on_body[0], corner.pins[p].name + " u, on " + force.body);
        expect_close(force.force_C_n.y(), sign * on_body[1], corner.pins[p].name + " v, on " + force.body);
      }
    }
  }
}

}  // namespace
}  // namespace ridepitch
