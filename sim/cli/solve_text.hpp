#pragma once
// What `solve` prints: the answer in a sentence, what a builder can check by hand, then the engineer's numbers.

#include <string>

#include "cli/json_text.hpp"
#include "cli/page.hpp"

namespace ridepitch {

std::string solve_text(const Solved& solved, const TextStyle& style);

}  // namespace ridepitch
