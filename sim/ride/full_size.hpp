#pragma once
// What the model stands for at the size of its original.

#include <optional>

#include "ride/solution.hpp"

namespace ridepitch {

/// Lengths times the scale, which is that of the tyres: the original's over the first wheel's of the file. Frequencies over its
/// root: with the same gravity, times go by the root of lengths.
/// @returns none where the model does not say how large the original's wheels are, or has no wheel
/// Source: W. Froude's law of comparison, Trans. Inst. Naval Architects 15 (1874) (from memory).
std::optional<FullSize> full_size(const Model& model, const Solution& solution);

}  // namespace ridepitch
