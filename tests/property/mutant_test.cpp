// Demos with numbers changed and lines lost: whatever still stands, does so by the laws of statics. Nothing that is told of
// it is infinite.

#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "model/read.hpp"
#include "ride/solve.hpp"
#include "rigs/files.hpp"
#include "rigs/mutants.hpp"
#include "rigs/scale.hpp"

namespace ridepitch::property {
namespace {

constexpr double standard_gravity = 9.80665;  // m/s2 (CGPM 1901)

/// How far the springs of a wheel that rides alone are from balancing its load, by virtual work along its motion [N]; none
/// where something else takes part.
std::optional<double> out_of_balance_n(const Model& model, const Solution& solution, std::size_t c) {
  const Corner& corner = model.corners[c];
  const Linkage& linkage = model.linkages[static_cast<std::size_t>(corner.linkage)];
  const CornerResult& result = solution.corners[c];
  if (linkage.plane == Plane::top || linkage.wheels.size() != 1 || !model.bars.empty()) return std::nullopt;
  const WheelResult& wheel = result.wheels[0];
  if (wheel.state != WheelState::riding || !wheel.motion || !wheel.wheel_rate_n_per_mm) return std::nullopt;
  double springs_n = 0;
  for (std::size_t s = 0; s < result.springs.size(); ++s) {
    const SpringResult& spring = result.springs[s];
    if (spring.torque_n_mm || !spring.motion_ratio[0].second) return std::nullopt;
    const bool pulls = std::holds_alternative<Band>(linkage.springs[s].data);
    springs_n += (pulls ? -1 : 1) * *spring.total_force_n * *spring.motion_ratio[0].second;
  }
  Vec2 up(0, 1);  // the world's, in the plane: height is h - sin(p) x + cos(p) (sin(r) y + cos(r) z)
  if (solution.vehicle) {
    const double p = solution.vehicle->pitch_deg * M_PI / 180, r = solution.vehicle->roll_deg * M_PI / 180;
    const double along = linkage.plane == Plane::front ? std::cos(p) * std::sin(r) : -std::sin(p);
    up = Vec2((corner.flip ? -1 : 1) * along, std::cos(p) * std::cos(r));
  }
  return springs_n - *wheel.load_n * up.dot(wheel.motion->centre_per_mm);
}

/// Whether a spring that draws out or goes solid, whose force at its end is open, takes part.
bool on_a_stop(const Model& model, const Solution& solution, std::size_t c) {
  const Linkage& linkage = model.linkages[static_cast<std::size_t>(model.corners[c].linkage)];
  for (std::size_t s = 0; s < linkage.springs.size(); ++s)
    if (const auto* coil = std::get_if<Coil>(&linkage.springs[s].data)) {
      const double length_mm = *solution.corners[c].springs[s].length_mm;
      if (length_mm > coil->free_mm - 1e-6 || length_mm < coil->solid_mm + 1e-6) return true;
    }
  return !linkage.limits.empty();
}

void holds(const Model& model, const Solution& solution) {
  double ground_n = 0, most_n = 1;
  for (const CornerResult& corner : solution.corners)
    for (const WheelResult& wheel : corner.wheels) {
      ground_n += wheel.ground_load_n.value_or(0);
      most_n = std::max(most_n, std::abs(wheel.load_n.value_or(0)));
      for (const auto& number : {wheel.wheel_rate_n_per_mm, wheel.motion_ratio, wheel.frequency_hz, wheel.reserve}) {
        if (!number) continue;
        EXPECT_TRUE(std::isfinite(*number));
        EXPECT_LT(std::abs(*number), 1e12);
      }
    }
  if (solution.vehicle) {
    const double weight_n = solution.vehicle->total_mass_kg * standard_gravity;
    EXPECT_NEAR(ground_n, weight_n, 1e-7 * std::max(1.0, weight_n));
  }
  for (std::size_t c = 0; c < model.corners.size(); ++c) {
    const auto out_n = out_of_balance_n(model, solution, c);
    if (out_n && !on_a_stop(model, solution, c)) {
      EXPECT_NEAR(*out_n, 0, 1e-6 * most_n) << solution.corners[c].name;
    }
  }
}

TEST(Mutant, OfADemoThatStandsIsInBalance) {
  std::mt19937_64 random(20);
  int stood = 0;
  for (int i = 0; i < scaled(240); ++i) {
    const std::string text = mutant_of_a_demo(random);
    const ReadModel read = read_model_text(text, source_path("models/mutant.toml"));
    if (!read.model || !read.problems.empty()) continue;
    const SolveResult result = solve(*read.model, {.curve_points = 2, .other_stances = false, .readings = false});
    if (!result.solution) continue;
    ++stood;
    holds(*read.model, *result.solution);
    if (::testing::Test::HasFailure()) {
      ADD_FAILURE() << i << "\n" << text;
      return;
    }
  }
  EXPECT_GT(stood, scaled(240) / 10);
}

}  // namespace
}  // namespace ridepitch::property
