#pragma once
// Whether parts that lie in the same slice run into each other over the travel.

#include <vector>

#include "model/model.hpp"
#include "ride/solution.hpp"

namespace ridepitch {

/// Findings `parts-touch` and `tyres-touch`, by docs/model-format.md, "A linkage": parts that name the same layer, as
/// round-ended beams (coils as wide as they are), over every curve of their corner; tyres of one side as discs, over
/// the travel of each. Parts are not checked against each other at a hole they share.
std::vector<Finding> find_touching(const Model& model, const Solution& solution);

}  // namespace ridepitch
