// Every gauge against numerical differentiation: gsl_deriv_central of the GNU Scientific Library.

#include "linkage/gauge.hpp"

#include <gsl/gsl_deriv.h>
#include <gtest/gtest.h>

#include <cmath>
#include <functional>

#include "linkage/closure.hpp"

namespace ridepitch {
namespace {

double derivative(const std::function<double(double)>& f, double at) {
  gsl_function wrapped;
  wrapped.function = [](double x, void* p) { return (*static_cast<const std::function<double(double)>*>(p))(x); };
  wrapped.params = const_cast<std::function<double(double)>*>(&f);
  double slope = 0, error = 0;
  gsl_deriv_central(&wrapped, at, 1e-3, &slope, &error);
  return slope;
}

constexpr double gsl_error = 1e-8;  // what five points 1e-3 apart leave of readings of some 50 mm

const Eigen::VectorXd q0 = (Eigen::VectorXd(6) << 3, -7, 0.4, 41, 22, -1.1).finished();

GaugeReading at(const Gauge& gauge, const Eigen::VectorXd& q) {
  std::vector<Turn> turns(2);
  set_turns(q, turns);
  return read(gauge, q, turns);
}

Eigen::VectorXd gradient(const Gauge& gauge, const Eigen::VectorXd& q) {
  Eigen::VectorXd g = Eigen::VectorXd::Zero(6);
  add_slope(gauge, at(gauge, q), 1, g);
  return g;
}

Eigen::MatrixXd curvature(const Gauge& gauge, const Eigen::VectorXd& q) {
  std::vector<Turn> turns(2);
  set_turns(q, turns);
  Eigen::MatrixXd W = Eigen::MatrixXd::Zero(6, 6);
  add_curvature(gauge, read(gauge, q, turns), 1, q, turns, W);
  return W;
}

struct Case {
  const char* name;
  Gauge gauge;
};

const BodyPoint on_first{0, Vec2(11, 5)}, on_second{1, Vec2(-4, 9)}, on_chassis{ground, Vec2(-20, 30)};

class AnyGauge : public testing::TestWithParam<Case> {};

TEST_P(AnyGauge, GradientAgreesWithGsl) {
  const Gauge& gauge = GetParam().gauge;
  const Eigen::VectorXd g = gradient(gauge, q0);
  for (Eigen::Index i = 0; i < 6; ++i) {
    const auto along_i = [&](double x) {
      Eigen::VectorXd q = q0;
      q[i] = x;
      return at(gauge, q).value;
    };
    EXPECT_NEAR(g[i], derivative(along_i, q0[i]), gsl_error) << "coordinate " << i;
  }
}

TEST_P(AnyGauge, CurvatureAgreesWithGslOnTheGradient) {
  const Gauge& gauge = GetParam().gauge;
  const Eigen::MatrixXd W = curvature(gauge, q0);
  for (Eigen::Index i = 0; i < 6; ++i)
    for (Eigen::Index j = 0; j < 6; ++j) {
      const auto along_j = [&](double x) {
        Eigen::VectorXd q = q0;
        q[j] = x;
        return gradient(gauge, q)[i];
      };
      EXPECT_NEAR(W(i, j), derivative(along_j, q0[j]), gsl_error) << "entry " << i << ", " << j;
    }
}

TEST_P(AnyGauge, CountsItsFactorAndAddsToWhatIsThere) {
  const Gauge& gauge = GetParam().gauge;
  const GaugeReading reading = at(gauge, q0);
  Eigen::VectorXd g = Eigen::VectorXd::Ones(6);
  add_slope(gauge, reading, -2.5, g);
  EXPECT_LT((g - Eigen::VectorXd::Ones(6) + 2.5 * gradient(gauge, q0)).norm(), 1e-12);
  Eigen::MatrixXd W = Eigen::MatrixXd::Zero(6, 6);
  add_square(gauge, reading, 3, W);
  EXPECT_LT((W - 3 * gradient(gauge, q0) * gradient(gauge, q0).transpose()).norm(), 1e-10);
  const Eigen::VectorXd dq = (Eigen::VectorXd(6) << 1, 2, -0.3, 0.5, -1, 0.2).finished();
  EXPECT_NEAR(slope_along(gauge, reading, dq), gradient(gauge, q0).dot(dq), 1e-12);
}

INSTANTIATE_TEST_SUITE_P(
    Kinds, AnyGauge,
    testing::Values(
        Case{"along", {.kind = Gauge::Kind::along, .p = on_first, .q = on_second, .dir = Vec2(0.6, 0.8)}},
        Case{"along_from_chassis",
             {.kind = Gauge::Kind::along, .p = on_chassis, .q = on_second, .dir = Vec2(-0.8, 0.6)}},
        Case{"distance", {.kind = Gauge::Kind::distance, .p = on_first, .q = on_second, .dir = Vec2::UnitX()}},
        Case{"distance_from_chassis",
             {.kind = Gauge::Kind::distance, .p = on_chassis, .q = on_first, .dir = Vec2::UnitX()}},
        Case{"distance_to_chassis",
             {.kind = Gauge::Kind::distance, .p = on_second, .q = on_chassis, .dir = Vec2::UnitX()}},
        Case{"slanting",
             {.kind = Gauge::Kind::distance, .p = on_first, .q = on_second, .dir = Vec2::UnitX(), .across_mm = 12}},
        Case{"angle",
             {.kind = Gauge::Kind::angle,
              .p = on_first,
              .q = on_second,
              .dir = Vec2::UnitX(),
              .across_mm = 0,
              .offset_rad = 6}},
        Case{"angle_to_chassis", {.kind = Gauge::Kind::angle, .p = on_chassis, .q = on_first, .dir = Vec2::UnitX()}}),
    [](const auto& kind) { return std::string(kind.param.name); });

TEST(Distance, OfASlantingPartIsItsTrueLength) {  // Pythagoras: 3-4-12-13
  const Gauge gauge{.kind = Gauge::Kind::distance,
                    .p = {ground, Vec2(0, 0)},
                    .q = {ground, Vec2(3, 4)},
                    .dir = Vec2::UnitX(),
                    .across_mm = 12};
  EXPECT_NEAR(at(gauge, q0).value, 13, 1e-14);
}

TEST(Distance, OfTwoHolesInOnePlaceHasNoDirection) {
  const Gauge gauge{.kind = Gauge::Kind::distance, .p = {0, Vec2(2, 3)}, .q = {0, Vec2(2, 3)}, .dir = Vec2::UnitX()};
  const GaugeReading reading = at(gauge, q0);
  EXPECT_EQ(reading.value, 0);
  for (const double slope : reading.slope) EXPECT_EQ(slope, 0);
}

}  // namespace
}  // namespace ridepitch
