#pragma once
// What would explain that measured heights differ from computed ones.

#include <vector>

#include "model/model.hpp"
#include "ride/readings.hpp"
#include "ride/solution.hpp"

namespace ridepitch {

/// Where a measured height differs: single causes that would explain at least half of what all of them differ by (sum of
/// squares), each with the amount that fits best, the vehicle solved again with it. Sorted by that amount over what is
/// usual for such a thing, so that the likeliest stands first; eight at most.
std::vector<LikelyCause> likely_causes(const Model& model, const Solution& solution,
                                       const std::vector<MeasuredHeight>& measured);

}  // namespace ridepitch
