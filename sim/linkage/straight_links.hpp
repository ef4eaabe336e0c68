#pragma once
// Which parts of a linkage lie in one line where it cannot follow any more.

#include <string>
#include <vector>

#include "linkage/mechanism.hpp"

namespace ridepitch {

/// The rods and bodies in the loop that went straight: at a dead point the ties' rows are about to depend on one
/// another, and the forces that balance by themselves run through these links.
/// @param mechanism  with everything held that is driven there; q is at the dead point or close to it
std::vector<std::string> straight_links(const Mechanism& mechanism, const Eigen::VectorXd& q);

}  // namespace ridepitch
