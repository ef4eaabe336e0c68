#pragma once
// What is said of the ground: what the vehicle stands on, and how much more of it it takes.

#include <string>

#include "cli/json_text.hpp"
#include "cli/page.hpp"

namespace ridepitch {

/// "on a slope of 10 degrees, its left side downhill, front left/hub on a block of 12 mm"; empty on the level floor.
std::string ground_words(const Solution& solution);

/// How far the ground may rise, fall and tilt; empty where it was not asked.
std::string floor_text(const Solved& solved, const TextStyle& style);

}  // namespace ridepitch
