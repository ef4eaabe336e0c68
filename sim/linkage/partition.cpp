#include "linkage/partition.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <utility>

#include "model/index.hpp"

namespace ridepitch {

// Ties join two bodies at most, so that most of a Jacobian is 0: what a step does not touch is passed over. A column's
// greatest entry changes only where the pivot's row has an entry in it, so that it is looked for there alone.
namespace {

// Greatest of a column's entries in the rows from `row` on, weighted as its column of J.
double greatest_entry(const Partition& part, const std::vector<double>& weight, Eigen::Index col, Eigen::Index row) {
  const double* const column = part.lu.data() + col * part.lu.rows();
  double most = 0;
  for (Eigen::Index i = row; i < part.lu.rows(); ++i) most = std::max(most, std::abs(column[i]));
  return at(weight, at(part.col, col)) * most;
}

// Brings the greatest entry of a column, in the rows from k on, to row k and column k.
void bring_up(Partition& part, double weight, Eigen::Index pivot_col, Eigen::Index k) {
  const Eigen::Index rows = part.lu.rows();
  double* const lu = part.lu.data();  // column after column
  const double best = at(part.greatest, pivot_col);
  Eigen::Index pivot_row = k;
  while (pivot_row + 1 < rows && weight * std::abs(lu[pivot_col * rows + pivot_row]) < best) ++pivot_row;
  if (pivot_row != k) {
    for (Eigen::Index j = 0; j < part.lu.cols(); ++j) std::swap(lu[j * rows + k], lu[j * rows + pivot_row]);
    std::swap(at(part.row, k), at(part.row, pivot_row));
    part.det_sign = -part.det_sign;
  }
  if (pivot_col != k) {
    std::swap_ranges(lu + k * rows, lu + (k + 1) * rows, lu + pivot_col * rows);
    std::swap(at(part.col, k), at(part.col, pivot_col));
    std::swap(at(part.greatest, k), at(part.greatest, pivot_col));
    part.det_sign = -part.det_sign;
  }
}

// Takes row k, times what makes column k vanish under it, from the rows below.
void eliminate(Partition& part, const std::vector<double>& weight, Eigen::Index k) {
  const Eigen::Index rows = part.lu.rows();
  double* const pivots = part.lu.data() + k * rows;
  int* const below = part.below.data();
  int many = 0;
  for (Eigen::Index i = k + 1; i < rows; ++i) {
    if (pivots[i] == 0) continue;
    pivots[i] /= pivots[k];
    below[many++] = static_cast<int>(i);
  }
  for (Eigen::Index j = k + 1; j < part.lu.cols(); ++j) {
    double* const column = part.lu.data() + j * rows;
    const double upper = column[k];
    if (upper == 0) continue;
    for (int b = 0; b < many; ++b) column[below[b]] -= pivots[below[b]] * upper;
    at(part.greatest, j) = greatest_entry(part, weight, j, k + 1);
  }
}

}  // namespace

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
  part.det_sign = part.least_pivot_share = 1;
  for (Eigen::Index j = 0; j < cols; ++j) at(part.greatest, j) = greatest_entry(part, weight, j, 0);
  double first = 0;
  const Eigen::Index least_side = std::min(rows, cols);
  const Eigen::Index most = most_rank < 0 ? least_side : std::min<Eigen::Index>(most_rank, least_side);
  for (Eigen::Index k = 0; k < most; ++k) {
    // The first of the greatest, column by column.
    const Eigen::Index pivot_col =
        std::max_element(part.greatest.begin() + k, part.greatest.end()) - part.greatest.begin();
    const double best = at(part.greatest, pivot_col);
    if (k == 0) first = best;
    if (!(best > 0) || (most_rank < 0 && best <= threshold * first)) break;
    bring_up(part, at(weight, at(part.col, pivot_col)), pivot_col, k);
    if (part.lu(k, k) < 0) part.det_sign = -part.det_sign;
    part.least_pivot_share = best / first;
    eliminate(part, weight, k);
    ++part.rank;
  }
}

void solve_following(const Partition& part, const Eigen::VectorXd& rhs, Eigen::VectorXd& dq) {
  const Eigen::Index r = part.rank;
  dq.setZero();
  // The following coordinates' places in dq hold the working vector, so that nothing is allocated.
  const auto x = [&](Eigen::Index i) -> double& { return dq[at(part.col, i)]; };
  for (Eigen::Index i = 0; i < r; ++i) {
    double sum = rhs[at(part.row, i)];
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
    T(at(part.col, f), t) = 1;
    for (Eigen::Index i = r; i-- > 0;) {
      double sum = -part.lu(i, f);
      for (Eigen::Index j = i + 1; j < r; ++j) sum -= part.lu(i, j) * T(at(part.col, j), t);
      T(at(part.col, i), t) = sum / part.lu(i, i);
    }
  }
}

Eigen::MatrixXd tangents(const Partition& part) {
  Eigen::MatrixXd T;
  tangents(part, T);
  return T;
}

void multipliers(const Partition& part, const Eigen::VectorXd& g, Eigen::VectorXd& lambda) {
  const Eigen::Index r = part.rank;
  lambda.setZero();
  const auto y = [&](Eigen::Index i) -> double& { return lambda[at(part.row, i)]; };
  for (Eigen::Index i = 0; i < r; ++i) {
    double sum = g[at(part.col, i)];
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
