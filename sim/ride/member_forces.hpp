#pragma once
// What every rod and pin of a corner carries at rest.

#include <vector>

#include "ride/solution.hpp"
#include "ride/system.hpp"

namespace ridepitch {

struct MemberForces {
  std::vector<RodResult> rods;
  std::vector<PinResult> pins;
};

/// From the multipliers of the ties: the rod's is its compression, a pin's two the force on each body there.
/// Where ties are redundant, the forces with the least sum of squares.
/// @param g  [coordinates] gradient of everything but the ties, at q
MemberForces member_forces(const Mechanism& mechanism, const Eigen::VectorXd& q, const Eigen::VectorXd& g);

}  // namespace ridepitch
