#pragma once
// The vehicle at rest with one more mass on it (additions to the format, "Numbers").

#include <optional>

#include "stance.hpp"

namespace ridepitch::oracle {

/// How far the body comes down over one wheel's contact under 100 g there, as high as the centre of gravity; none where it
/// finds no rest.
std::optional<double> sink_100g_mm(const Model& model, const Stance& rest, const Contact& contact);

/// The least mass there with which a stop is met that a rise of this sprung wheel runs into [g]; 0 where one is met at rest,
/// none where a clearance point is under the ground first or no rest is found.
std::optional<double> weight_to_bump_g(const Model& model, const Stance& rest, const Contact& contact);

}  // namespace ridepitch::oracle
