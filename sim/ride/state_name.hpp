#pragma once
// A wheel's state in a word.

#include <string_view>

#include "ride/solution.hpp"

namespace ridepitch {

/// "lifted", "topped", "riding", "bottomed" or "fixed".
std::string_view state_name(WheelState state);

}  // namespace ridepitch
