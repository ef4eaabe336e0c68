// Densities of readings under a cause. Expected: the normal density of dependent readings, its matrix inverted by hand.

#include "ride/evidence.hpp"

#include <gtest/gtest.h>

#include <cmath>

namespace ridepitch {
namespace {

Apart apart(double a, double b, double within = 1) {
  return {Eigen::Vector2d(a, b), Eigen::Vector2d::Constant(within)};
}

TEST(Evidence, OfTwoCausesIsTheRatioOfTheirNormalDensities) {
  // Both readings are off by 1. One cause moves both alike: covariance [[2, 1], [1, 2]], determinant 3, inverse
  // [[2, -1], [-1, 2]] / 3, so d^T S^-1 d = 2/3. The other moves them apart: [[2, -1], [-1, 2]], and 2. So e^(2/3) to 1.
  const double alike = log_evidence(apart(1, 1), Eigen::Vector2d(1, 1));
  const double opposed = log_evidence(apart(1, 1), Eigen::Vector2d(1, -1));
  EXPECT_NEAR(alike - opposed, 2.0 / 3, 1e-12);
  EXPECT_NEAR(alike, -1.0 / 3 - std::log(3) / 2, 1e-12);
}

TEST(Evidence, OfACauseThatCouldExplainAnythingIsLess) {
  // One reading of 2: variances 1 + 1 and 1 + 4, densities e^-1 / sqrt(2) and e^-0.4 / sqrt(5); with 1 + 100^2 e^0 / 100.
  const Apart one{Eigen::VectorXd::Constant(1, 2), Eigen::VectorXd::Constant(1, 1)};
  const auto of = [&](double effect) { return std::exp(log_evidence(one, Eigen::VectorXd::Constant(1, effect))); };
  EXPECT_NEAR(of(1), std::exp(-1) / std::sqrt(2), 1e-12);
  EXPECT_NEAR(of(2), std::exp(-0.4) / std::sqrt(5), 1e-12);
  EXPECT_NEAR(of(100), 0.01, 1e-4);
}

TEST(Evidence, CountsReadingsInTheirOwnDeviations) {
  EXPECT_NEAR(log_evidence(apart(3, 1, 2), Eigen::Vector2d(1, 1)),
              log_evidence(apart(1.5, 0.5), Eigen::Vector2d(0.5, 0.5)), 1e-12);
  EXPECT_NEAR(best_amount(apart(3, 1), Eigen::Vector2d(1, 1)), 2, 1e-12);  // the mean
  EXPECT_EQ(best_amount(apart(3, 1), Eigen::Vector2d::Zero()), 0);
}

TEST(Evidence, OfReadingsEachByItselfIsTheProductOfTheirs) {
  const Eigen::Vector2d middle(-0.5, 0.5), spread(1, 2);
  // Variances 2 and 5: 1.5^2 / 2 and 0.5^2 / 5.
  EXPECT_NEAR(log_evidence_apart(apart(1, 1), middle, spread), -(1.125 + 0.05) / 2 - std::log(10) / 2, 1e-12);
}

}  // namespace
}  // namespace ridepitch
