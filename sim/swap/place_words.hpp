#pragma once
// A place on a grid in words.

#include <string>

#include "model/geometry.hpp"

namespace ridepitch {

/// "[-4, 9.5]", in modules.
std::string place_words(const Vec2& p_mm, double module_mm);

}  // namespace ridepitch
