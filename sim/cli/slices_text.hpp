#pragma once
// Which part lies in which slice across the plane, and the pins and axles that follow.

#include <string>

#include "cli/json_text.hpp"
#include "cli/page.hpp"

namespace ridepitch {

/// A line for each linkage, from the vehicle's middle outwards, and one for its pins and axles.
std::string slices_text(const Solved& solved, const TextStyle& style);

}  // namespace ridepitch
