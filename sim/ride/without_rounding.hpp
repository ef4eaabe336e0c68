#pragma once

#include <cmath>

namespace ridepitch {

/// A difference that is nothing but rounding is shown as 0, not as -3e-14.
inline double without_rounding(double x) { return std::abs(x) < 1e-11 ? 0.0 : x; }

}  // namespace ridepitch
