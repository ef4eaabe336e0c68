// Ranges of built models by drawn vehicles: against exact distributions, and against the general solver, vehicle by vehicle.

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <string>

#include "model/index.hpp"
#include "ride/scatter.hpp"
#include "ride/solve.hpp"
#include "rigs/models.hpp"
#include "rigs/rest.hpp"
#include "rigs/scale.hpp"
#include "rigs/texts.hpp"

namespace ridepitch {
namespace {

constexpr double tenth = -1.2815515655446004;  // of the normal distribution, tables

/// A body on four coils of one part, straight above the wheels.
Model pillars() {
  Model model = on_tyres(read_rig(body(2000, 0, 0, 6) + upright({.free_mm = 64, .solid_mm = 30, .rate_n_per_mm = 0.5}) +
                                  four_corners("l", 10, 6)));
  model.spread.given = true;
  for (Assumable* each : {&model.spread.coil_rate_percent, &model.spread.coil_length_mm, &model.spread.batch_percent,
                          &model.spread.mass_percent, &model.spread.tyre_rate_percent})
    each->value = 0;
  return model;
}

/// How far a percentile of n draws may lie off, three standard errors, in deviations: sqrt(p (1 - p) / n) over the density there
/// (any text on order statistics).
double three_errors(int n) {
  const double density = std::exp(-tenth * tenth / 2) / std::sqrt(2 * 3.14159265358979323846);
  return 3 * std::sqrt(0.1 * 0.9 / n) / density;
}

void expect_tenths(const Likely& found, double middle, double deviation, int draws) {
  EXPECT_NEAR(found[0], middle + tenth * deviation, three_errors(draws) * deviation);
  EXPECT_NEAR(found[1], middle, three_errors(draws) * deviation);
  EXPECT_NEAR(found[2], middle - tenth * deviation, three_errors(draws) * deviation);
}

TEST(Scatter, OfABatchMovesAllCornersAsItsRateSays) {
  Model model = pillars();
  model.spread.batch_percent.value = 4;
  const Solution solution = solved(model);
  ASSERT_TRUE(solution.drawn);
  EXPECT_EQ(solution.drawn->vehicles, 4096);
  EXPECT_EQ(solution.drawn->why_general, "");
  // A quarter of the weight squeezes a coil by W / 4 k; with the rate k (1 + 0.04 n) by that over 1 + 0.04 n.
  const double squeeze = 2 * gravity_m_per_s2 / 4 / 0.5;
  const CornerResult& corner = solution.corners[0];
  expect_tenths(*corner.expected_height_mm, *corner.as_built_height_mm, squeeze * 0.04, 4096);
  expect_tenths(*corner.wheels[0].expected_rate_n_per_mm, 0.5, 0.02, 4096);
  expect_tenths(*corner.wheels[0].expected_bump_mm, 34 - squeeze, squeeze * 0.04, 4096);
  EXPECT_NEAR((*solution.vehicle->expected_pitch_deg)[2], 0, 1e-9);
}

TEST(Scatter, OfFreeLengthsTiltsABodyByTheDifferenceOfItsEnds) {
  Model model = pillars();
  model.spread.coil_length_mm.value = 0.4;
  const Solution solution = solved(model);
  // Equal rates: a corner of a rectangle on four springs is a plane through four heights in the mean, of weights 3/4, 1/4, 1/4,
  // -1/4 (statics); lengths scatter alone.
  const double deviation = 0.4 * std::sqrt(9 + 1 + 1 + 1) / 4;
  expect_tenths(*solution.corners[0].expected_height_mm, *solution.corners[0].as_built_height_mm, deviation, 4096);
  // Pitch: the difference of two means of two, over the wheelbase of 160 mm.
  const double pitch_deg = 0.4 / 160 * 180 / 3.14159265358979323846;
  expect_tenths(*solution.vehicle->expected_pitch_deg, 0, pitch_deg, 4096);
}

TEST(Scatter, OfTheMassMovesTheBodyByItsShareOfTheSag) {
  Model model = pillars();
  model.spread.mass_percent.value = 3;
  const Solution solution = solved(model);
  const double squeeze = 2 * gravity_m_per_s2 / 4 / 0.5;
  expect_tenths(*solution.corners[0].expected_height_mm, *solution.corners[0].as_built_height_mm, squeeze * 0.03, 4096);
}

TEST(Scatter, IsTheSameEachTime) {
  const Model model = demo("quarry-hauler");
  const Solution solution = solved(model);
  const SampledVehicles one = sample_vehicles(model, solution, 64), other = sample_vehicles(model, solution, 64);
  EXPECT_EQ(one.pitch_deg, other.pitch_deg);
  EXPECT_EQ(one.corners[0].as_built_height_mm, other.corners[0].as_built_height_mm);
  EXPECT_NE(one.pitch_deg, sample_vehicles(model, solution, 64, drawn_seed + 1).pitch_deg);
}

class DrawnDemo : public ::testing::TestWithParam<const char*> {};

TEST_P(DrawnDemo, StandsByItsCurvesAsByTheGeneralSolver) {
  const Model model = demo(GetParam());
  const Solution solution = solved(model);
  const int vehicles = scaled(60, 4);
  const SampledVehicles quick = sample_vehicles(model, solution, vehicles);
  EXPECT_EQ(quick.why_general, "");
  const SampledVehicles slow = sample_in_general(model, solution, vehicles);
  const auto expect_same = [&](const Sample& a, const Sample& b, double within, const char* what) {
    for (int i = 0; i < vehicles; ++i) {
      ASSERT_FALSE(std::isnan(at(b, i))) << what;
      EXPECT_NEAR(at(a, i), at(b, i), within) << what << " of vehicle " << i;
    }
  };
  // Curves of 201 places, cubic between them: the rate has their second derivative.
  expect_same(quick.pitch_deg, slow.pitch_deg, 1e-6, "pitch");
  expect_same(quick.roll_deg, slow.roll_deg, 1e-6, "roll");
  for (int c = 0; c < count(quick.corners); ++c) {
    const SampledCorner &a = at(quick.corners, c), &b = at(slow.corners, c);
    expect_same(a.as_built_height_mm, b.as_built_height_mm, 1e-5, "height");
    expect_same(a.wheels[0].bump_travel_mm, b.wheels[0].bump_travel_mm, 1e-5, "bump travel");
    expect_same(a.wheels[0].load_n, b.wheels[0].load_n, 1e-5, "load");
    expect_same(a.wheels[0].wheel_rate_n_per_mm, b.wheels[0].wheel_rate_n_per_mm, 1e-4, "rate");
    expect_same(a.wheels[0].bump_load_n, b.wheels[0].bump_load_n, 1e-4, "bump load");
  }
}

INSTANTIATE_TEST_SUITE_P(Demos, DrawnDemo, ::testing::Values("quarry-hauler", "gravel-tug", "ore-hauler"),
                         [](const auto& test) {
                           std::string name = test.param;
                           std::replace(name.begin(), name.end(), '-', '_');
                           return name;
                         });

TEST(Scatter, TakesTheGeneralSolverWhereWheelsShareALinkage) {
  Model model = demo("log-skidder-plain");
  const Solution solution = solved(model);
  EXPECT_EQ(sample_vehicles(model, solution, 2).why_general, "wheels share a linkage");
}

TEST(Percentiles, LieBetweenTheTwoNearestInProportion) {
  EXPECT_DOUBLE_EQ(percentile({3, 1, 2}, 0.5), 2);
  EXPECT_DOUBLE_EQ(percentile({0, 10}, 0.1), 1);
  EXPECT_TRUE(std::isnan(percentile({}, 0.5)));
}

}  // namespace
}  // namespace ridepitch
