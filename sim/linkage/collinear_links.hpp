#pragma once
// Which links of a linkage are collinear where it cannot follow any more.

#include <string>
#include <vector>

#include "linkage/mechanism.hpp"

namespace ridepitch {

/// The rods and bodies in the loop that became collinear: at a dead point the ties' rows are about to depend on one
/// another, and the forces that balance by themselves run through these links.
/// @param mechanism  with everything held that is driven there; q is at the dead point or close to it
std::vector<std::string> collinear_links(const Mechanism& mechanism, const Eigen::VectorXd& q);

}  // namespace ridepitch
