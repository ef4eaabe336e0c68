#include "linkage/partition.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <utility>

namespace ridepitch {

// Ties join two bodies at most, so that most of a Jacobian is 0: what a step does not touch is passed over. A column's
// greatest entry changes only where the pivot's row has an entry in it, so that it is looked for there alone.
void factor(const Eigen::MatrixXd& J, const std::vector<double>& weight, int most_rank, double threshold,
            Partition& part) {
  const Eigen::Index rows = J.rows(), cols = J.cols();
  part.lu = J;  // no allocation once the sizes agree
  part.row.resize(static_cast<std::size_t>(rows));
  part.col.resize(static_cast<std::size_t>(cols));
  part.greatest.resize(static_cast<std::size_t>(cols));
  part.below.resize(static_cast<std::size_t>(rows));
  std::iota(part.row.begin(), part.row.end(), 0);
  std::iota(part.col.begin(), part.col.end(), 0);
  part.rank = 0;
  part.det_sign = 1;
  part.least_pivot_share = 1;
  double* const lu = part.lu.data();  // column after column
  int* const row = part.row.data();
  int* const col = part.col.data();
  int* const below = part.below.data();
  double* const greatest = part.greatest.data();
  const auto weight_of = [&](Eigen::Index j) { return weight[static_cast<std::size_t>(col[j])]; };
  const auto greatest_of = [&](Eigen::Index j, Eigen::Index from) {
    const double* const column = lu + j * rows;
    double most = 0;
    for (Eigen::Index i = from; i < rows; ++i) most = std::max(most, std::abs(column[i]));
    return weight_of(j) * most;
  };
  for (Eigen::Index j = 0; j < cols; ++j) greatest[j] = greatest_of(j, 0);
  double first = 0;
  const Eigen::Index most =
      most_rank < 0 ? std::min(rows, cols) : std::min<Eigen::Index>(most_rank, std::min(rows, cols));
  for (Eigen::Index k = 0; k < most; ++k) {
    // The first of the greatest, column by column.
    double best = 0;
    Eigen::Index pivot_row = k, pivot_col = k;
    for (Eigen::Index j = k; j < cols; ++j) {
      if (greatest[j] > best) {
        best = greatest[j];
        pivot_col = j;
      }
    }
    if (k == 0) first = best;
    if (best == 0 || (most_rank < 0 && best <= threshold * first)) break;
    const double w = weight_of(pivot_col);
    while (pivot_row + 1 < rows && w * std::abs(lu[pivot_col * rows + pivot_row]) < best) ++pivot_row;
    if (pivot_row != k) {
      for (Eigen::Index j = 0; j < cols; ++j) std::swap(lu[j * rows + k], lu[j * rows + pivot_row]);
      std::swap(row[k], row[pivot_row]);
      part.det_sign = -part.det_sign;
    }
    double* const pivots = lu + k * rows;
    if (pivot_col != k) {
      std::swap_ranges(pivots, pivots + rows, lu + pivot_col * rows);
      std::swap(col[k], col[pivot_col]);
      std::swap(greatest[k], greatest[pivot_col]);
      part.det_sign = -part.det_sign;
    }
    const double pivot = pivots[k];
    if (pivot < 0) part.det_sign = -part.det_sign;
    part.least_pivot_share = best / first;
    int count = 0;
    for (Eigen::Index i = k + 1; i < rows; ++i) {
      if (pivots[i] == 0) continue;
      pivots[i] /= pivot;
      below[count++] = static_cast<int>(i);
    }
    for (Eigen::Index j = k + 1; j < cols; ++j) {
      double* const column = lu + j * rows;
      const double upper = column[k];
      if (upper == 0) continue;
      for (int b = 0; b < count; ++b) column[below[b]] -= pivots[below[b]] * upper;
      greatest[j] = greatest_of(j, k + 1);
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
