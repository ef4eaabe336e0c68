// Springs as a linkage meets them; their laws alone are tested in tests/spring.

#include <gtest/gtest.h>

#include <cmath>

#include "linkage/dense.hpp"
#include "reference/linkages.hpp"
#include "ride/hold.hpp"

namespace ridepitch {
namespace {

// Geometric stiffness of a two-force member, any text on structures: K = k u u' + (F/L) (I - u u').
// k = 2 N/mm, free length 40 mm, end at (30, 40): L = 50, F = 20 N.
TEST(InclinedSpring, HasItsElasticAndItsGeometricStiffness) {
  const SpringElement spring{.gauge = {.kind = Gauge::Kind::distance, .p = {}, .q = {0, Vec2::Zero()}},
                             .law = force_law(Band{.free_mm = 40, .rate_n_per_mm = 2, .law = {}})};
  const Eigen::VectorXd q = Eigen::Vector3d(30, 40, 0.7);
  std::vector<Turn> turns(1);
  set_turns(q, turns);
  const GaugeReading reading = read(spring.gauge, q, turns);
  const SpringForce force = element_force(spring, reading.value);
  EXPECT_NEAR(reading.value, 50, 1e-12);
  EXPECT_NEAR(force.push_n, -20, 1e-12);
  Eigen::MatrixXd W = Eigen::MatrixXd::Zero(3, 3);
  add_square(spring.gauge, reading, force.stiffness_n_per_mm, W);
  add_curvature(spring.gauge, reading, -force.push_n, q, turns, W);
  EXPECT_NEAR(W(0, 0), 0.976, 1e-12);
  EXPECT_NEAR(W(0, 1), 0.768, 1e-12);
  EXPECT_NEAR(W(1, 0), 0.768, 1e-12);
  EXPECT_NEAR(W(1, 1), 1.424, 1e-12);
  const Spectrum found = spectrum(Eigen::MatrixXd(W.topLeftCorner<2, 2>()));
  EXPECT_NEAR(found.values[0], 0.4, 1e-12);  // F/L, across
  EXPECT_NEAR(found.values[1], 2.0, 1e-12);  // k, along
}

// A wheel on an upright slide under a column of coils, each pressed against the next through a plate that slides too.
// @param rates  of the coils, from the wheel up, in groups that stand side by side
double column_rate(const std::vector<std::vector<double>>& rates) {
  Linkage linkage;
  linkage.name = "column";
  const double gap = 30;
  add_body(linkage, "chassis", {{"guide", Vec2(0, 0)}, {"top", Vec2(0, gap * static_cast<double>(rates.size()))}});
  for (std::size_t i = 0; i < rates.size(); ++i) {
    const std::string name = "plate" + std::to_string(i);
    add_body(linkage, name, {{"eye", Vec2(0, 0)}}, {{"eye", Vec2(0, gap * static_cast<double>(i))}});
    add_slide(linkage, name + ".eye", "chassis.guide", Vec2(0, 1));
  }
  for (std::size_t i = 0; i < rates.size(); ++i) {
    const std::string above = i + 1 < rates.size() ? "plate" + std::to_string(i + 1) + ".eye" : "chassis.top";
    for (const double rate : rates[i])
      add_coil(linkage, "coil" + std::to_string(linkage.springs.size()), "plate" + std::to_string(i) + ".eye", above,
               {.free_mm = 30, .solid_mm = 5, .rate_n_per_mm = rate, .law = {}});
  }
  add_wheel(linkage, "plate0.eye");
  const Assembly assembly = assembled(linkage);
  const HeldMechanism held = hold_wheels(assembly.mechanism, assembly.q);
  HeldWorkspace workspace;
  HeldRates found;
  prepare(held, workspace);
  held_rates(held, assembly.q, {}, workspace, found);
  return found.rate_n_per_mm(0, 0);
}

// Springs in series and side by side, any mechanics text: 1/k = sum 1/k_i and k = sum k_i.
TEST(CoilsEndToEnd, LetWhatLiesBetweenThemFollow) {
  EXPECT_NEAR(column_rate({{2}, {3}}), 1.2, 1e-12);
  EXPECT_NEAR(column_rate({{2, 3}}), 5.0, 1e-12);
  EXPECT_NEAR(column_rate({{2, 3}, {4}}), 20.0 / 9, 1e-12);
  EXPECT_NEAR(column_rate({{2}, {3}, {6}}), 1.0, 1e-12);
}

}  // namespace
}  // namespace ridepitch
