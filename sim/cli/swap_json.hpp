#pragma once
// What `swap --json` prints.

#include <string>

#include "cli/swapped.hpp"

namespace ridepitch {

/// { holds, verdict, keep, changes, before: {solve}, after: {solve} or null, errors, differences, needs, written }
std::string swap_json(const Swapped& swapped);

}  // namespace ridepitch
