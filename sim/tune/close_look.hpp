#pragma once
// One layout of a linkage, more closely than all at once can be looked at: the rises at which its wheels can rest.

#include <array>
#include <vector>

#include "tune/linkage_layouts.hpp"

namespace ridepitch {

/// Rises at which each wheel of the layouts' corners can rest if a candidate holds, one row for each assembly of its groups
/// can lie: narrowed from all that the stance leaves. Empty: it is proved not to hold.
/// @param skeleton  to work in, of those layouts
/// @param options   [variables] of the space
std::vector<std::vector<std::array<double, 2>>> rises_of(const LinkageLayouts& layouts, Skeleton& skeleton,
                                                         const std::vector<int>& options);

/// Loads that a linkage which stays as it is carries over the rises of its wheels.
void narrow_loads(const LinkageLayouts& layouts, WantedStance& stance);

}  // namespace ridepitch
