#pragma once
// What a quantity may come to if a model is to stand the same.

#include <optional>
#include <string_view>

#include "swap/keep.hpp"

namespace ridepitch {

struct Allowed {
  double tolerance = 0;  ///< how far it may be off, in its own unit
  double least = 0;
  std::optional<double> most;  ///< none: more is no fault
};

/// None for a quantity that is told, but not judged.
std::optional<Allowed> allowed(std::string_view quantity, double before, const Keep& keep);

}  // namespace ridepitch
