#pragma once
// How great a sum can get while others are bounded: a linear program of a few unknowns.

#include <array>
#include <optional>
#include <vector>

#include <Eigen/Core>

namespace ridepitch {

/// low <= share . x <= high
struct BoundedSum {
  Eigen::VectorXd share;
  double low = 0, high = 0;
};

/// Least and greatest of `of . x` where all sums are within their bounds. At a corner of what they leave as many sums as there
/// are unknowns lie at a bound: all those corners are looked at, which is for a dozen unknowns at most.
/// @returns none where the sums do not bound x, or leave nothing
std::optional<std::array<double, 2>> range_of(const Eigen::VectorXd& of, const std::vector<BoundedSum>& sums);

}  // namespace ridepitch
