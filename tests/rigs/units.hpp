#pragma once
// Units and the rounding that tests allow.

#include <numbers>

namespace ridepitch {

inline constexpr double g = 9.80665;                       // m/s2, standard gravity (CGPM 1901)
inline constexpr double n_per_gram = 9.80665e-3;           // weight of a gram
inline constexpr double per_deg = std::numbers::pi / 180;  // rad
inline constexpr double module_mm = 8;
inline constexpr double of_newtons = 1e-9;

}  // namespace ridepitch
