#pragma once
// From the units of the file to those of the program: mm, N, kg, rad.

#include <numbers>
#include <optional>

#include "model/model.hpp"

namespace ridepitch {

inline constexpr double rad_per_deg = std::numbers::pi / 180;
inline constexpr double deg_per_rad = 180 / std::numbers::pi;
inline constexpr double kg_per_g = 1e-3;

/// Weight of a gram [N].
inline constexpr double n_per_g = kg_per_g * gravity_m_per_s2;

/// What a scale shows under a force.
inline double grams_of(double force_n) { return force_n / gravity_m_per_s2 / kg_per_g; }
inline std::optional<double> grams_of(std::optional<double> force_n) {
  return force_n ? std::optional(grams_of(*force_n)) : std::nullopt;
}

}  // namespace ridepitch
