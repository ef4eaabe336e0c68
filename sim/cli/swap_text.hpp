#pragma once
// What `swap` prints: the verdict, what was changed, the numbers side by side, what a changed spring needs.

#include <string>

#include "cli/page.hpp"
#include "cli/swapped.hpp"

namespace ridepitch {

std::string swap_text(const Swapped& swapped, const TextStyle& style);

}  // namespace ridepitch
