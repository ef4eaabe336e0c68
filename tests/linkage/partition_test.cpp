// What the factors of a Jacobian promise, checked by multiplying back: J dq = rhs, J T = 0, J' lambda = g.

#include "linkage/partition.hpp"

#include <gtest/gtest.h>

#include <algorithm>

namespace ridepitch {
namespace {

// Five coordinates, three rows; any numbers without a pattern do.
const Eigen::MatrixXd J3 = (Eigen::MatrixXd(3, 5) << 2, -1, 30, 0, 4,  //
                            0, 3, -12, 1, -5,                          //
                            7, 1, 2, -6, 0.5)
                               .finished();
const std::vector<double> weights{1, 1, 0.05, 1, 1};
constexpr double rounding = 1e-12;

Partition factored(const Eigen::MatrixXd& J, int most = -1) {
  Partition part;
  factor(J, weights, most, 1e-10, part);
  return part;
}

TEST(Partition, CountsIndependentRows) {
  EXPECT_EQ(factored(J3).rank, 3);
  EXPECT_EQ(factored(J3).freedoms(), 2);
  Eigen::MatrixXd J4(4, 5);
  J4 << J3, 2 * J3.row(0) - J3.row(2);
  EXPECT_EQ(factored(J4).rank, 3);
  EXPECT_EQ(factored(Eigen::MatrixXd::Zero(2, 5)).rank, 0);
}

TEST(Partition, TangentsKeepEveryRowAndMoveOneFreeCoordinateEach) {
  const Partition part = factored(J3);
  Eigen::MatrixXd T;
  tangents(part, T);
  ASSERT_EQ(T.cols(), 2);
  EXPECT_LT((J3 * T).cwiseAbs().maxCoeff(), rounding);
  for (int f = 0; f < 2; ++f)
    for (int g = 0; g < 2; ++g) EXPECT_EQ(T(part.col[static_cast<std::size_t>(part.rank + f)], g), f == g ? 1 : 0);
}

TEST(Partition, CorrectionsMeetTheRightSideAndLeaveFreeCoordinates) {
  const Partition part = factored(J3);
  const Eigen::VectorXd rhs = Eigen::Vector3d(1, -2, 0.5);
  Eigen::VectorXd dq(5);
  solve_following(part, rhs, dq);
  EXPECT_LT((J3 * dq - rhs).norm(), rounding);
  for (int f = part.rank; f < 5; ++f) EXPECT_EQ(dq[part.col[static_cast<std::size_t>(f)]], 0);
}

TEST(Partition, MultipliersBalanceTheFollowingCoordinates) {
  const Partition part = factored(J3);
  const Eigen::VectorXd g = (Eigen::VectorXd(5) << 1, 2, -40, 3, 0.1).finished();
  Eigen::VectorXd lambda(3);
  multipliers(part, g, lambda);
  const Eigen::VectorXd rest = J3.transpose() * lambda - g;
  for (int f = 0; f < part.rank; ++f) EXPECT_NEAR(rest[part.col[static_cast<std::size_t>(f)]], 0, 1e-11);
}

TEST(Partition, RedundantRowsCarryNothingAndAreMetOfThemselves) {
  Eigen::MatrixXd J4(4, 5);
  J4 << J3.row(0), J3.row(0) + J3.row(1), J3.row(1), J3.row(2);
  const Partition part = factored(J4, 3);
  ASSERT_EQ(part.rank, 3);
  Eigen::VectorXd dq(5);
  solve_following(part, (Eigen::VectorXd(4) << 1, -1, -2, 0.5).finished(), dq);
  EXPECT_LT((J4 * dq - (Eigen::VectorXd(4) << 1, -1, -2, 0.5).finished()).norm(), rounding);
  Eigen::VectorXd lambda(4);
  multipliers(part, Eigen::VectorXd::Ones(5), lambda);
  EXPECT_EQ(lambda[part.row[3]], 0);
}

TEST(Partition, SquareJacobiansTellTheSignOfTheirDeterminant) {
  // |1 2; 3 4| = -2; rows exchanged: +2
  const std::vector<double> plain{1, 1};
  Partition part;
  factor((Eigen::MatrixXd(2, 2) << 1, 2, 3, 4).finished(), plain, -1, 1e-10, part);
  EXPECT_EQ(part.det_sign, -1);
  factor((Eigen::MatrixXd(2, 2) << 3, 4, 1, 2).finished(), plain, -1, 1e-10, part);
  EXPECT_EQ(part.det_sign, 1);
}

}  // namespace
}  // namespace ridepitch
