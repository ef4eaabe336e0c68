// Vehicles at rest: states of wheels, loads that statics tells and those it does not, weighings, modes, and what cannot
// stand. Wheels without mass on upright slides, so that statics of a rigid body on springs tells everything.

#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>

#include "rigs/rest.hpp"
#include "rigs/texts.hpp"
#include "rigs/units.hpp"

namespace ridepitch {
namespace {

// One whose values are all there but are nothing: where there is no solution, a test fails and goes on.
WheelResult no_wheel() {
  WheelResult none;
  for (auto* value : {&none.load_n, &none.ground_load_n, &none.travel_mm, &none.sag_mm, &none.bump_travel_mm,
                      &none.wheel_rate_n_per_mm})
    *value = std::nan("");
  return none;
}

const WheelResult& wheel(const Solution& solution, const std::string& corner) {
  static const WheelResult none = no_wheel();
  for (const CornerResult& one : solution.corners)
    if (one.name == corner) return one.wheels[0];
  ADD_FAILURE() << "no corner " << corner;
  return none;
}

const char* const corners[] = {"front left", "front right", "rear left", "rear right"};

TEST(Rest, OfAVehicleOnFourSpringsSharesItsWeightEqually) {  // 1 kg: 2.45 N and 4.9 mm a wheel
  const Solution solution = rested(body(1000, 0, 0, 5) + upright({}) + four_corners("l", 10, 8));
  ASSERT_TRUE(solution.vehicle.has_value());
  for (const char* name : corners) {
    EXPECT_NEAR(*wheel(solution, name).ground_load_n, g / 4, of_newtons);
    EXPECT_NEAR(*wheel(solution, name).sag_mm, g / 4 / 0.5, 1e-9);
    EXPECT_EQ(wheel(solution, name).state, WheelState::riding);
  }
  EXPECT_FALSE(solution.vehicle->indeterminate);
  EXPECT_EQ(solution.vehicle->modes.size(), 3u);
}

TEST(Rest, StandsOnDroopStopsWherePreloadIsMoreThanTheLoad) {  // 5 N of preload against 2.45 N
  const Solution solution = rested(body(1000, 0, 0, 5) + upright({.preload_n = 5}) + four_corners("l", 10, 8));
  ASSERT_TRUE(solution.vehicle.has_value());
  for (const char* name : corners) {
    EXPECT_EQ(wheel(solution, name).state, WheelState::topped);
    EXPECT_NEAR(*wheel(solution, name).travel_mm, 0, 1e-9);
    EXPECT_NEAR(*wheel(solution, name).wheel_rate_n_per_mm, 0.5, 1e-9);  // of the position, stops left out
  }
  EXPECT_TRUE(solution.vehicle->modes.empty());  // stops carry: the body has no freedom left
}

TEST(Rest, StandsOnTheFirstOfTwoDroopStopsThatAreAlmostMetTogether) {  // as above, a second coil free 0.01 mm later
  const Solution solution = rested(body(1000, 0, 0, 5) + upright({.preload_n = 20}) +
                                   "[linkage.l.spring.other]\nkind = \"coil\"\nfree_mm = 64.01\nsolid_mm = 40\n"
                                   "rate_n_per_mm = 0.5\nfrom = \"carrier.eye\"\nto = \"chassis.top\"\n" +
                                   four_corners("l", 10, 8));
  ASSERT_TRUE(solution.vehicle.has_value());
  for (const char* name : corners) {
    EXPECT_EQ(wheel(solution, name).state, WheelState::topped);
    EXPECT_NEAR(wheel(solution, name).centre_C_mm.y(), 16, 1e-9);
  }
}

TEST(Rest, StandsOnSolidCoilsUnderTooMuchWeight) {  // 20 mm of stroke hold 10 N a wheel; 6 kg are 14.7 N
  const Solution solution = rested(body(6000, 0, 0, 5) + upright({}) + four_corners("l", 10, 8));
  ASSERT_TRUE(solution.vehicle.has_value());
  for (const char* name : corners) {
    EXPECT_EQ(wheel(solution, name).state, WheelState::bottomed);
    EXPECT_NEAR(*wheel(solution, name).travel_mm, 20, 1e-9);
    EXPECT_NEAR(*wheel(solution, name).bump_travel_mm, 0, 1e-9);
    EXPECT_NEAR(*wheel(solution, name).ground_load_n, 6 * g / 4, of_newtons);
  }
  EXPECT_TRUE(solution.vehicle->modes.empty());
}

TEST(Rest, LiftsAWheelThatHangsTooHigh) {
  // The rear right corner sits 8 modules higher. The others carry the weight by its place in their triangle: the mass at
  // (2, 2) modules of (+-10, +-8): rear left takes (1 - 2/10) / 2, front right (1 - 2/8) / 2, front left the rest.
  // (Level within a few degrees; slides lean with the body, so the shares hold to the second order of the lean.)
  const Solution solution = rested(body(1000, 2, 2, 0) + upright({.rate_n_per_mm = 50, .preload_n = 0}) +
                                   corner("front left", "l", 10, 8) + corner("front right", "l", 10, -8) +
                                   corner("rear left", "l", -10, 8) + corner("rear right", "l", -10, -8, 12));
  ASSERT_TRUE(solution.vehicle.has_value());
  EXPECT_EQ(wheel(solution, "rear right").state, WheelState::lifted);
  EXPECT_EQ(*wheel(solution, "rear right").ground_load_n, 0);
  EXPECT_EQ(*wheel(solution, "rear right").load_n, 0);
  EXPECT_FALSE(wheel(solution, "rear right").frequency_hz.has_value());
  EXPECT_NEAR(*wheel(solution, "rear left").ground_load_n, g * 0.4, 0.01);
  EXPECT_NEAR(*wheel(solution, "front right").ground_load_n, g * 0.375, 0.01);
  EXPECT_NEAR(*wheel(solution, "front left").ground_load_n, g * 0.225, 0.01);
  double sum = 0;
  for (const char* name : corners) sum += *wheel(solution, name).ground_load_n;
  EXPECT_NEAR(sum, g, of_newtons);
}

// ----------------------------------------------------------------------------------------- loads statics cannot tell

TEST(IndeterminateLoads, OfFourFixedWheelsHaveTheLeastSumOfSquares) {
  // Least |N| with sum N = W, sum N X = W x, sum N Y = W y on a rectangle: N = W (1 + x X / a^2 + y Y / b^2) / 4.
  const double x = 3, y = -2, a = 10, b = 8;
  const Solution solution = rested(body(1000, x, y, 5) + fixed_wheel() + four_corners("f", a, b));
  ASSERT_TRUE(solution.vehicle.has_value());
  EXPECT_TRUE(solution.vehicle->indeterminate);
  for (const char* name : corners) {
    const double X = std::string(name).find("front") == 0 ? a : -a,
                 Y = std::string(name).find("left") != std::string::npos ? b : -b;
    EXPECT_NEAR(*wheel(solution, name).ground_load_n, g / 4 * (1 + x * X / (a * a) + y * Y / (b * b)), of_newtons);
    EXPECT_EQ(wheel(solution, name).state, WheelState::fixed);
    for (const auto& absent :
         {wheel(solution, name).travel_mm, wheel(solution, name).sag_mm, wheel(solution, name).motion_ratio,
          wheel(solution, name).wheel_rate_n_per_mm, wheel(solution, name).reserve, wheel(solution, name).frequency_hz})
      EXPECT_FALSE(absent.has_value());
  }
  EXPECT_TRUE(solution.vehicle->modes.empty());
}

TEST(IndeterminateLoads, AreNeverNegative) {
  // At (7, 5.6) of (10, 8) the formula above gives the far wheel (1 - 0.7 - 0.7) / 4 < 0: it carries nothing, and the
  // other three carry what their triangle says: 0.7, 0.15 and 0.15.
  const Solution solution = rested(body(1000, 7, 5.6, 5) + fixed_wheel() + four_corners("f", 10, 8));
  ASSERT_TRUE(solution.vehicle.has_value());
  EXPECT_NEAR(*wheel(solution, "front left").ground_load_n, 0.7 * g, of_newtons);
  EXPECT_NEAR(*wheel(solution, "front right").ground_load_n, 0.15 * g, of_newtons);
  EXPECT_NEAR(*wheel(solution, "rear left").ground_load_n, 0.15 * g, of_newtons);
  EXPECT_NEAR(*wheel(solution, "rear right").ground_load_n, 0, of_newtons);
}

TEST(IndeterminateLoads, AreNoMatterOnThreeFixedWheels) {  // a triangle: statics tells them all
  const Solution solution = rested(body(1000, 0, 0, 5) + fixed_wheel() + corner("nose", "f", 10, 0) +
                                   corner("rear left", "f", -10, 8) + corner("rear right", "f", -10, -8));
  ASSERT_TRUE(solution.vehicle.has_value());
  EXPECT_FALSE(solution.vehicle->indeterminate);
  EXPECT_NEAR(*wheel(solution, "nose").ground_load_n, g / 2, of_newtons);
  EXPECT_NEAR(*wheel(solution, "rear left").ground_load_n, g / 4, of_newtons);
}

// ------------------------------------------------------------------------------------------------------- weighings

std::string weighed(const std::string& readings, double front_rate, double rear_rate) {
  return "format = 1\nname = \"weighed\"\n" + readings + "[sprung]\ncg_height = 6\nsize = [20, 10, 6]\n" +
         upright({.name = "f", .rate_n_per_mm = front_rate}) + upright({.name = "r", .rate_n_per_mm = rear_rate}) +
         corner("front left", "f", 10, 8) + corner("front right", "f", 10, -8) + corner("rear left", "r", -12, 8) +
         corner("rear right", "r", -12, -8);
}

TEST(Weighed, AxlesCarryWhatTheScaleRead) {  // 500 and 700 g, on springs so unlike that the vehicle pitches
  const Solution solution =
      rested(weighed("[[weighed]]\nwheels = [\"front left/hub\", \"front right/hub\"]\ngrams = 500\n"
                     "[[weighed]]\nwheels = [\"rear left/hub\", \"rear right/hub\"]\ngrams = 700\n",
                     0.8, 0.3));
  ASSERT_TRUE(solution.vehicle.has_value());
  EXPECT_GT(std::abs(solution.vehicle->pitch_deg), 1);
  EXPECT_NEAR(solution.vehicle->total_mass_kg, 1.2, 1e-12);
  EXPECT_NEAR(*wheel(solution, "front left").ground_load_n + *wheel(solution, "front right").ground_load_n, 0.5 * g,
              of_newtons);
  EXPECT_NEAR(*wheel(solution, "rear left").ground_load_n + *wheel(solution, "rear right").ground_load_n, 0.7 * g,
              of_newtons);
  EXPECT_NEAR(solution.vehicle->cg_mm.y(), 0, 1e-9);
}

TEST(Weighed, SidesCarryWhatTheScaleReadWhereTheyAreWeighedApart) {
  // Four readings have the moments of four loads; with equal springs and sums alike on both diagonals every wheel has its own.
  const auto reading = [](const char* corner, int grams) {
    return fmt::format("[[weighed]]\nwheels = [\"{}/hub\"]\ngrams = {}\n", corner, grams);
  };
  const Solution solution = rested(weighed(
      reading("front left", 260) + reading("front right", 240) + reading("rear left", 360) + reading("rear right", 340),
      0.5, 0.5));
  ASSERT_TRUE(solution.vehicle.has_value());
  const double left = *wheel(solution, "front left").ground_load_n + *wheel(solution, "rear left").ground_load_n;
  EXPECT_NEAR(left, 0.62 * g, 1e-8);
  EXPECT_NEAR(*wheel(solution, "front left").ground_load_n + *wheel(solution, "front right").ground_load_n, 0.5 * g,
              1e-8);
}

// ------------------------------------------------------------------------------------------- what does not stand

TEST(NoRest, OfAVehicleWhoseWeightLiesOutsideItsWheels) {
  const Problem problem = no_rest(body(1000, 14, 0, 5) + upright({}) + four_corners("l", 10, 8));
  EXPECT_EQ(problem.code, "no-rest");
  EXPECT_EQ(problem.fault, Fault::no_solution);
}

TEST(NoRest, OfAVehicleTooTallForItsSprings) {
  // Four springs of 0.5 N/mm, 16 modules apart: roll stiffness 4 * 0.5 * 64^2 = 8192 N mm; 1 kg at 125 modules above the
  // wheels' contacts turns it over with 9.8 * 1000 = 9807 N mm a radian.
  const Problem problem = no_rest(body(1000, 0, 0, 125) + upright({}) + four_corners("l", 10, 8));
  EXPECT_EQ(problem.code, "no-rest");
}

TEST(NoRest, OfFewerThanThreeWheels) {
  const Problem problem =
      no_rest(body(1000, 0, 0, 5) + upright({}) + corner("left", "l", 0, 8) + corner("right", "l", 0, -8));
  EXPECT_EQ(problem.code, "cannot-stand");
  EXPECT_EQ(problem.fault, Fault::no_solution);
}

TEST(NoRest, OfWheelsInOneLine) {
  const Problem problem = no_rest(body(1000, 0, 0, 5) + upright({}) + corner("a", "l", 10, 0) + corner("b", "l", 0, 0) +
                                  corner("c", "l", -10, 0));
  EXPECT_EQ(problem.fault, Fault::no_solution);
}

TEST(NoRest, OfALinkageThatNothingHoldsUpOnTheBench) {
  // A slide on a stop from below, nothing above: any load pushes it up without end.
  const Problem problem = no_rest(
      on_bench(carrier({.chassis_holes = ", low = [0, -5]",
                        .more = "[linkage.l.limit.rest]\nfrom = \"chassis.low\"\nto = \"carrier.eye\"\nmin = 3\n"}),
               5));
  EXPECT_EQ(problem.fault, Fault::no_solution);
}

}  // namespace
}  // namespace ridepitch
