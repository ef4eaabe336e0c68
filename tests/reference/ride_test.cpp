// Wheel rate, ride frequency and static deflection, one wheel at a time.

#include <fmt/format.h>
#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <numbers>

#include "reference/linkages.hpp"
#include "reference/models.hpp"
#include "ride/hold.hpp"
#include "rigs/texts.hpp"

namespace ridepitch {
namespace {

// Trailing arm of 100 mm about (0, 0), coil from 60 mm along it to (50, 80); 2 N/mm, 95 mm long. Wheel rate
// k MR^2 + F dMR/dz: J. C. Dixon, Suspension Geometry and Computation (from memory); values by symbolic derivation.
Linkage trailing_arm() {
  Linkage linkage;
  linkage.name = "arm";
  add_body(linkage, "chassis", {{"pivot", Vec2(0, 0)}, {"top", Vec2(50, 80)}});
  add_body(linkage, "arm", {{"root", Vec2(0, 0)}, {"seat", Vec2(60, 0)}, {"axle", Vec2(100, 0)}},
           {{"axle", Vec2(100, 0)}});
  add_pin(linkage, {"chassis.pivot", "arm.root"});
  add_coil(linkage, "main", "arm.seat", "chassis.top", {.free_mm = 95, .solid_mm = 40, .rate_n_per_mm = 2, .law = {}});
  add_wheel(linkage, "arm.axle");
  return linkage;
}

struct ArmRow {
  double angle, z, length, ratio, force, load, elastic, geometric, rate;
};
constexpr std::array<ArmRow, 4> arm_rows{{
    {-10, -17.364818, 90.87450681, 0.58641099, 8.250986, 4.838469, 0.687756, 0.002704, 0.690459},
    {0, 0.000000, 80.62257748, 0.59536673, 28.754845, 17.119678, 0.708923, 0.019424, 0.728347},
    {10, 17.364818, 70.17215243, 0.60864872, 49.655695, 30.222875, 0.740907, 0.039878, 0.780784},
    {20, 34.202014, 59.82015462, 0.61987290, 70.359691, 43.614066, 0.768485, 0.026695, 0.795180},
}};

TEST(TrailingArm, HasTheWheelRateOfBothTerms) {
  const Linkage linkage = trailing_arm();
  const Assembly assembly = assembled(linkage);
  Cranked cranked = take_crank(linkage, "arm");
  HeldWorkspace workspace;
  HeldRates rates;
  for (const ArmRow& row : arm_rows) {
    ASSERT_TRUE(turn_to(cranked, row.angle));
    const HeldMechanism held = hold_wheels(assembly.mechanism, cranked.q);
    prepare(held, workspace);
    held_rates(held, cranked.q, {}, workspace, rates);
    const SpringElement& coil = held.mechanism.springs[0];
    const double length = read(coil.gauge, cranked.q, workspace.closure.turns).value;
    const double ratio = motion_ratio(coil, cranked.q, workspace.closure.turns, rates.motion.col(0));
    EXPECT_NEAR(place(cranked, "arm.axle").y(), row.z, 1e-6) << row.angle;
    EXPECT_NEAR(length, row.length, 1e-8) << row.angle;
    EXPECT_NEAR(ratio, row.ratio, 1e-8) << row.angle;
    EXPECT_NEAR(element_force(coil, length).push_n, row.force, 1e-6) << row.angle;
    EXPECT_NEAR(rates.load_n[0], row.load, 1e-6) << row.angle;
    EXPECT_NEAR(2 * ratio * ratio, row.elastic, 1e-6) << row.angle;
    EXPECT_NEAR(rates.rate_n_per_mm(0, 0) - 2 * ratio * ratio, row.geometric, 1.1e-6) << row.angle;
    EXPECT_NEAR(rates.rate_n_per_mm(0, 0), row.rate, 1e-6) << row.angle;
  }
}

TEST(TrailingArm, LevelHasTheExactMotionRatioAndWheelRate) {
  const Linkage linkage = trailing_arm();
  const Assembly assembly = assembled(linkage);
  Cranked cranked = take_crank(linkage, "arm");
  ASSERT_TRUE(turn_to(cranked, 0));
  const HeldMechanism held = hold_wheels(assembly.mechanism, cranked.q);
  HeldWorkspace workspace;
  HeldRates rates;
  prepare(held, workspace);
  held_rates(held, cranked.q, {}, workspace, rates);
  EXPECT_NEAR(motion_ratio(held.mechanism.springs[0], cranked.q, workspace.closure.turns, rates.motion.col(0)),
              0.59536672602820, 1e-13);
  EXPECT_NEAR(rates.rate_n_per_mm(0, 0), 0.72834732689954, 1e-13);
}

// The same arm through the whole program: loaded with what its coil carries when level, it comes to rest level.
TEST(TrailingArm, ComesToRestLevelUnderItsLoad) {
  const double length = std::sqrt(6500.0);
  const double load = 2 * (95 - length) * 48 / length;  // F MR with MR = 48 / L, by hand
  const Solution solution =
      solved(on_bench("module_mm = 10\n" + arm({.seat = "[5, 8]",
                                                .holes = "coil = [6, 0], axle = [10, 0]",
                                                .more = coil("main", "arm.coil", "chassis.seat", 95, 40, 2),
                                                .near_axle = "[10, 0]"}),
                      load));
  ASSERT_EQ(solution.corners.size(), 1u);
  const WheelResult& wheel = solution.corners[0].wheels[0];
  EXPECT_NEAR(wheel.centre_C_mm.y(), 0, 1e-9);
  EXPECT_NEAR(wheel.motion_ratio.value(), 0.59536672602820, 1e-11);
  EXPECT_NEAR(wheel.wheel_rate_n_per_mm.value(), 0.72834732689954, 1e-11);
  EXPECT_EQ(wheel.bump_end, "main solid");
}

double to_hz(double square_per_s2) { return std::sqrt(square_per_s2) / (2 * std::numbers::pi); }

// One mass on a linear spring, any text on vibration: f = sqrt(g / deflection) / 2 pi with g = 9.80665 m/s2.
TEST(StaticDeflection, TellsTheFrequency) {
  constexpr std::array<std::array<double, 2>, 9> table{{{5, 7.04847993},
                                                        {10, 4.98402795},
                                                        {20, 3.52423996},
                                                        {50, 2.22892506},
                                                        {100, 1.57608803},
                                                        {254, 0.98892558},
                                                        {248.405346, 1},
                                                        {62.101337, 2},
                                                        {27.600594, 3}}};
  for (const auto& [deflection, frequency] : table) {
    const Solution solution = solved(bench_slide(0.05, 0.05 * deflection));
    ASSERT_EQ(solution.corners.size(), 1u);
    const WheelResult& wheel = solution.corners[0].wheels[0];
    EXPECT_NEAR(wheel.sag_mm.value(), deflection, 1e-9);
    EXPECT_NEAR(wheel.motion_ratio.value(), 1, 1e-12);
    EXPECT_NEAR(wheel.frequency_hz.value(), frequency, 2e-8) << deflection;
  }
}

// D. Barton and J. Fieldhouse, Automotive Chassis Engineering (Springer), 3.13, eqs 3.81 to 3.84: quarter car of
// 317.5 kg on 22 kN/m and a tyre of 192 kN/m, here a thousandth of it. The wheel has no mass in our frequency, so it is
// that of springs in series, 1.25488329 Hz; with the book's unsprung 45.4 kg the exact first mode is 1.25392353 Hz
// (book prints 1.25), 0.08 % lower.
TEST(QuarterCar, HasItsTyreInSeriesWithItsSpring) {
  const double load = 0.3175 * gravity_m_per_s2;
  const Solution solution = solved(bench_slide(0.022, load), {.diameter_mm = 100, .rate_n_per_mm = 0.192});
  ASSERT_EQ(solution.corners.size(), 1u);
  const WheelResult& wheel = solution.corners[0].wheels[0];
  EXPECT_NEAR(wheel.wheel_rate_n_per_mm.value(), 0.022, 1e-13);
  EXPECT_NEAR(wheel.frequency_hz.value(), 1.25488329, 1e-8);
  EXPECT_NEAR(wheel.frequency_hz.value(), to_hz(19.738317757e3 / 317.5), 1e-9);
  EXPECT_NEAR(wheel.frequency_hz.value(), 1.25392353, 0.001 * 1.25392353);
  EXPECT_NEAR(wheel.sag_mm.value(), load / 0.022, 1e-9);
  // Ride height in bench mode is the loaded tyre radius less the wheel's height: 50 mm less what the tyre sinks.
  EXPECT_NEAR(solution.corners[0].ride_height_mm.value() + wheel.centre_C_mm.y(), 50 - load / 0.192, 1e-9);
}

// Virtual work, any text on chassis: with MR constant the rate is k MR^2; MR = 0.7 and 100 N/mm give 49 N/mm.
TEST(TrailingArm, WithALongUprightCoilHasThePlainRule) {
  Linkage linkage;
  linkage.name = "arm";
  const double far = 1e7;  // so far up that the coil stays upright and MR constant
  add_body(linkage, "chassis", {{"pivot", Vec2(0, 0)}, {"top", Vec2(70, far)}});
  add_body(linkage, "arm", {{"root", Vec2(0, 0)}, {"seat", Vec2(70, 0)}, {"axle", Vec2(100, 0)}},
           {{"axle", Vec2(100, 0)}});
  add_pin(linkage, {"chassis.pivot", "arm.root"});
  add_coil(linkage, "main", "arm.seat", "chassis.top",
           {.free_mm = far + 1, .solid_mm = far - 50, .rate_n_per_mm = 100, .law = {}});
  add_wheel(linkage, "arm.axle");
  const Assembly assembly = assembled(linkage);
  Cranked cranked = take_crank(linkage, "arm");
  ASSERT_TRUE(turn_to(cranked, 0));
  const HeldMechanism held = hold_wheels(assembly.mechanism, cranked.q);
  HeldWorkspace workspace;
  HeldRates rates;
  prepare(held, workspace);
  held_rates(held, cranked.q, {}, workspace, rates);
  EXPECT_NEAR(rates.rate_n_per_mm(0, 0), 49, 1e-4);  // F/L of the geometric term is 100 / 1e7
}

}  // namespace
}  // namespace ridepitch
