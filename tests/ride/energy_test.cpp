// The vehicle's energy on blocks and slopes: its gradient and Hessian against differences of the energy itself.

#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "ride/lower.hpp"
#include "ride/slope.hpp"
#include "ride/vehicle.hpp"
#include "rigs/models.hpp"

namespace ridepitch {
namespace {

struct Perched {
  Model model;
  Vehicle vehicle;
  State state;
};

// A demo vehicle near rest, leaning, on giving tyres and ground that differ from wheel to wheel, with grips of no meaning.
void perch(const std::string& name, Toward toward, Perched& out) {
  out.model = demo(name);
  for (Linkage& linkage : out.model.linkages)
    for (Wheel& wheel : linkage.wheels) wheel.tyre.rate_n_per_mm = 3;
  VehicleOrProblems built = build_vehicle(out.model);
  ASSERT_TRUE(built.vehicle.has_value());
  out.vehicle = std::move(*built.vehicle);
  const auto rest = lower(out.vehicle.system, out.vehicle.hanging, 4);
  ASSERT_TRUE(rest.has_value());
  out.state = rest->state;
  out.state.pitch_rad += 0.05;
  out.state.roll_rad -= 0.07;
  set_slope(0.3, toward, out.vehicle.system);
  out.vehicle.system.slope.rolling_cos = 0.97;
  double share = 0.1;
  for (Member& member : out.vehicle.system.members)
    for (Tread& tread : member.treads) {
      tread.ground_mm = 40 * share - 6;
      tread.grip_share = share;
      tread.grip_arm_mm = 30 + 10 * share;
      share += 0.1;
    }
}

class EnergyOnTheFloor : public ::testing::TestWithParam<std::tuple<const char*, Toward>> {};

TEST_P(EnergyOnTheFloor, HasTheGradientAndHessianOfItsDifferences) {
  Perched at;
  perch(std::get<0>(GetParam()), std::get<1>(GetParam()), at);
  if (HasFatalFailure()) return;
  const System& system = at.vehicle.system;
  Work work;
  prepare(system, work);
  work.load_share = 1;
  evaluate(system, at.state, Bounds::soft, work);
  EXPECT_NEAR(soft_energy(system, at.state, 1, work), work.energy_n_mm, 1e-9 * std::abs(work.energy_n_mm));
  const Eigen::VectorXd gradient = work.gradient;
  const Eigen::MatrixXd hessian = work.hessian;
  const Eigen::Index n = gradient.size();
  const auto energy = [&](const Eigen::VectorXd& step) {
    evaluate(system, at.state, Bounds::soft, work);  // tangents of the state itself
    State moved_state;
    EXPECT_TRUE(moved(system, at.state, step, work, moved_state));
    return soft_energy(system, moved_state, 1, work);
  };
  // Along random directions, in mm of motion: five-point formulas (M. Abramowitz and I. Stegun, tables 25.2 and 25.3), of
  // error h^4; the energy of some 1e3 N mm carries rounding of 1e-13 of itself, over h^2 in the second one.
  std::mt19937 random(7);
  std::normal_distribution<double> normal;
  for (int k = 0; k < 12; ++k) {
    Eigen::VectorXd d(n);
    for (Eigen::Index i = 0; i < n; ++i) d[i] = normal(random) / work.scale[i];
    const double h = 0.02;
    const double e[5] = {energy(-2 * h * d), energy(-h * d), energy(Eigen::VectorXd::Zero(n)), energy(h * d),
                         energy(2 * h * d)};
    const double slope = (e[0] - 8 * e[1] + 8 * e[3] - e[4]) / (12 * h);
    const double bend = (-e[0] + 16 * e[1] - 30 * e[2] + 16 * e[3] - e[4]) / (12 * h * h);
    EXPECT_NEAR(gradient.dot(d), slope, 1e-6 * (1 + std::abs(slope)));
    EXPECT_NEAR(d.dot(hessian * d), bend, 1e-4 * (1 + std::abs(bend)));
  }
}

INSTANTIATE_TEST_SUITE_P(Floor, EnergyOnTheFloor,
                         ::testing::Combine(::testing::Values("quarry-hauler", "scout-car", "sand-loader"),
                                            ::testing::Values(Toward::left, Toward::right, Toward::front,
                                                              Toward::rear)));

}  // namespace
}  // namespace ridepitch
