#pragma once
// Holes of bodies that their parts do not have, and joints that can't turn.

#include <vector>

#include "model/model.hpp"
#include "ride/solution.hpp"

namespace ridepitch {

/// Finding `no-such-hole`, for every hole of every body, used or not, that meets no hole of the body's parts, and for every
/// pin of which two bodies sit in cross holes: both would turn with one axle. Bodies that are free are not judged.
std::vector<Finding> find_missing_holes(const Model& model);

}  // namespace ridepitch
