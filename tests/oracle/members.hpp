#pragma once
// Forces in rods and pins: the joints' multipliers that balance every body at rest.

#include "ride/solution.hpp"
#include "stance.hpp"

namespace ridepitch::oracle {

struct Members {
  std::vector<RodResult> rods;
  std::vector<PinResult> pins;
  std::vector<double> slides;  ///< force across each [N]
  bool told = true;            ///< statics alone tells them: no redundant joint, no two stops that share a load
};

/// From the joints' multipliers, those of this linkage from `first` on.
Members members_of(const Linkage& linkage, const Vector& forces, int first);

/// By part of the stance.
std::vector<Members> member_forces(const Stance& stance);

}  // namespace ridepitch::oracle
