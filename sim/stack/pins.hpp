#pragma once
// Lengths of pins and axles, from where parts lie across the plane.

#include <vector>

#include "stack/stacks.hpp"

namespace ridepitch {

/// A pin for every joint of two parts or more, and an axle for every wheel that stands beside its linkage, in order of joints.
/// A free chassis counts one module. A pivot takes a smooth pin, a wheel an axle, each the shortest of the catalogue that is long
/// enough; a pivot for which no smooth pin is takes an axle.
/// @param at  first slice of each of the linkage's items
std::vector<NeededPin> needed_pins(const Model& model, int linkage, const StackParts& parts,
                                   const std::vector<int>& at);

/// Pins and axles of all corners by part, for the list of parts: how many of each. Those that the catalogue has none for are
/// left out.
std::vector<std::pair<std::string, int>> joint_parts(const Model& model, const Stacks& stacks);

}  // namespace ridepitch
