#pragma once
// What `solve` prints of a builder's own readings: how sure a weighing is, and what could explain heights that differ.

#include <string>

#include "cli/json_text.hpp"
#include "cli/page.hpp"

namespace ridepitch {

/// Scale readings beside the computed loads, and how sure mass and centre are. Empty where nothing was weighed.
std::string weighing_text(const Solved& solved, const TextStyle& style);

/// What would explain why measured heights differ, the likeliest first. Empty where none differs by more than it may.
/// On blocks or a slope, a line that says why nothing is compared.
std::string causes_text(const Solved& solved, const TextStyle& style);

}  // namespace ridepitch
