#include "linkage/partition.hpp"

#include <cmath>
#include <numeric>
#include <utility>

namespace ridepitch {

void factor(const Eigen::MatrixXd& J, const std::vector<double>& weight, int most_rank, double threshold,
            Partition& part) {
  const Eigen::Index rows = J.rows(), cols = J.cols();
  part.lu = J;  // no allocation once the sizes agree
  part.row.resize(static_cast<std::size_t>(rows));
  part.col.resize(static_cast<std::size_t>(cols));
  std::iota(part.row.begin(), part.row.end(), 0);
  std::iota(part.col.begin(), part.col.end(), 0);
  part.rank = 0;
  part.det_sign = 1;
  part.least_pivot_share = 1;
  Eigen::MatrixXd& lu = part.lu;
  double first = 0;
  const Eigen::Index most =
      most_rank < 0 ? std::min(rows, cols) : std::min<Eigen::Index>(most_rank, std::min(rows, cols));
  for (Eigen::Index k = 0; k < most; ++k) {
    double best = 0;
    Eigen::Index pivot_row = k, pivot_col = k;
    for (Eigen::Index j = k; j < cols; ++j) {
      const double w = weight[static_cast<std::size_t>(part.col[static_cast<std::size_t>(j)])];
      for (Eigen::Index i = k; i < rows; ++i) {
        const double size = w * std::abs(lu(i, j));
        if (size > best) {
          best = size;
          pivot_row = i;
          pivot_col = j;
        }
      }
    }
    if (k == 0) first = best;
    if (best == 0 || (most_rank < 0 && best <= threshold * first)) break;
    if (pivot_row != k) {
      for (Eigen::Index j = 0; j < cols; ++j) std::swap(lu(k, j), lu(pivot_row, j));
      std::swap(part.row[static_cast<std::size_t>(k)], part.row[static_cast<std::size_t>(pivot_row)]);
      part.det_sign = -part.det_sign;
    }
    if (pivot_col != k) {
      for (Eigen::Index i = 0; i < rows; ++i) std::swap(lu(i, k), lu(i, pivot_col));
      std::swap(part.col[static_cast<std::size_t>(k)], part.col[static_cast<std::size_t>(pivot_col)]);
      part.det_sign = -part.det_sign;
    }
    const double pivot = lu(k, k);
    if (pivot < 0) part.det_sign = -part.det_sign;
    part.least_pivot_share = best / first;
    for (Eigen::Index i = k + 1; i < rows; ++i) lu(i, k) /= pivot;
    for (Eigen::Index j = k + 1; j < cols; ++j) {
      const double upper = lu(k, j);
      if (upper == 0) continue;
      for (Eigen::Index i = k + 1; i < rows; ++i) lu(i, j) -= lu(i, k) * upper;
    }
    ++part.rank;
  }
}

void solve_following(const Partition& part, const Eigen::VectorXd& rhs, Eigen::VectorXd& dq) {
  const Eigen::Index r = part.rank;
  dq.setZero();
  // The following coordinates' places in dq hold the working vector, so that nothing is allocated.
  const auto x = [&](Eigen::Index i) -> double& { return dq[part.col[static_cast<std::size_t>(i)]]; };
  for (Eigen::Index i = 0; i < r; ++i) {
    double sum = rhs[part.row[static_cast<std::size_t>(i)]];
    for (Eigen::Index j = 0; j < i; ++j) sum -= part.lu(i, j) * x(j);
    x(i) = sum;
  }
  for (Eigen::Index i = r; i-- > 0;) {
    double sum = x(i);
    for (Eigen::Index j = i + 1; j < r; ++j) sum -= part.lu(i, j) * x(j);
    x(i) = sum / part.lu(i, i);
  }
}

void tangents(const Partition& part, Eigen::MatrixXd& T) {
  const Eigen::Index r = part.rank, cols = part.cols();
  T.setZero(cols, cols - r);
  for (Eigen::Index f = r; f < cols; ++f) {
    const Eigen::Index t = f - r;
    T(part.col[static_cast<std::size_t>(f)], t) = 1;
    for (Eigen::Index i = r; i-- > 0;) {
      double sum = -part.lu(i, f);
      for (Eigen::Index j = i + 1; j < r; ++j) sum -= part.lu(i, j) * T(part.col[static_cast<std::size_t>(j)], t);
      T(part.col[static_cast<std::size_t>(i)], t) = sum / part.lu(i, i);
    }
  }
}

void multipliers(const Partition& part, const Eigen::VectorXd& g, Eigen::VectorXd& lambda) {
  const Eigen::Index r = part.rank;
  lambda.setZero();
  const auto y = [&](Eigen::Index i) -> double& { return lambda[part.row[static_cast<std::size_t>(i)]]; };
  for (Eigen::Index i = 0; i < r; ++i) {
    double sum = g[part.col[static_cast<std::size_t>(i)]];
    for (Eigen::Index j = 0; j < i; ++j) sum -= part.lu(j, i) * y(j);
    y(i) = sum / part.lu(i, i);
  }
  for (Eigen::Index i = r; i-- > 0;) {
    double sum = y(i);
    for (Eigen::Index j = i + 1; j < r; ++j) sum -= part.lu(j, i) * y(j);
    y(i) = sum;
  }
}

}  // namespace ridepitch
