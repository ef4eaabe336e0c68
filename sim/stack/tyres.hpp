#pragma once
// Tyres of one side of the vehicle that run into each other.

#include <vector>

#include "ride/solution.hpp"

namespace ridepitch {

/// Finding `tyres-touch`: tyres of one side as discs, over the travel of each; docs/model-format.md, "Slices across the plane".
std::vector<Finding> find_touching_tyres(const Model& model, const Solution& solution);

}  // namespace ridepitch
