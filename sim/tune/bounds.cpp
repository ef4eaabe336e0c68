#include "tune/bounds.hpp"

#include <algorithm>
#include <cmath>

#include "model/index.hpp"

namespace ridepitch {
namespace {

/// Sums at a bound, in echelon form: each row is free of the pivots of those before it.
struct Active {
  Eigen::MatrixXd rows;  // [n x (n + 1)]: shares, and the bound
  std::vector<Eigen::Index> pivots;
};

/// Adds a sum at a bound. @returns false where it says nothing new
bool add(Active& active, const Eigen::VectorXd& share, double bound) {
  constexpr double nothing_new = 1e-9;
  const Eigen::Index n = share.size(), k = static_cast<Eigen::Index>(active.pivots.size());
  Eigen::RowVectorXd row(n + 1);
  row << share.transpose(), bound;
  for (Eigen::Index i = 0; i < k; ++i) row -= row[at(active.pivots, i)] * active.rows.row(i);
  Eigen::Index pivot = 0;
  const double size = row.head(n).cwiseAbs().maxCoeff(&pivot);
  if (size <= nothing_new * share.cwiseAbs().maxCoeff()) return false;
  active.rows.row(k) = row / row[pivot];
  active.pivots.push_back(pivot);
  return true;
}

Eigen::VectorXd corner_of(const Active& active) {
  const Eigen::Index n = active.rows.rows();
  Eigen::VectorXd x = Eigen::VectorXd::Zero(n);
  for (Eigen::Index i = n; i-- > 0;) {
    double value = active.rows(i, n);
    for (Eigen::Index k = i + 1; k < n; ++k) value -= active.rows(i, at(active.pivots, k)) * x[at(active.pivots, k)];
    x[at(active.pivots, i)] = value;
  }
  return x;
}

struct CornerSearch {
  const std::vector<BoundedSum>& sums;
  const Eigen::VectorXd& of;
  std::array<double, 2> range = {1e300, -1e300};
};

bool within(const CornerSearch& search, const Eigen::VectorXd& x) {
  return std::all_of(search.sums.begin(), search.sums.end(), [&](const BoundedSum& sum) {
    const double value = sum.share.dot(x), rounding = 1e-9 * (1 + sum.share.cwiseAbs().dot(x.cwiseAbs()));
    return value >= sum.low - rounding && value <= sum.high + rounding;
  });
}

void go_through(CornerSearch& search, const Active& active, std::size_t from) {
  if (static_cast<Eigen::Index>(active.pivots.size()) == search.of.size()) {
    const Eigen::VectorXd x = corner_of(active);
    if (!within(search, x)) return;
    const double value = search.of.dot(x);
    search.range = {std::min(search.range[0], value), std::max(search.range[1], value)};
    return;
  }
  for (std::size_t i = from; i < search.sums.size(); ++i)
    for (const double bound : {search.sums[i].low, search.sums[i].high}) {
      if (search.sums[i].low == search.sums[i].high) continue;  // those are there already
      Active more = active;
      if (add(more, search.sums[i].share, bound)) go_through(search, more, i + 1);
    }
}

}  // namespace

std::optional<std::array<double, 2>> range_of(const Eigen::VectorXd& of, const std::vector<BoundedSum>& sums) {
  CornerSearch search{sums, of};
  Active active{Eigen::MatrixXd(of.size(), of.size() + 1), {}};
  for (const BoundedSum& sum : sums)
    if (sum.low == sum.high) add(active, sum.share, sum.low);
  go_through(search, active, 0);
  if (search.range[0] > search.range[1]) return std::nullopt;
  return search.range;
}

}  // namespace ridepitch
