#pragma once
// The vehicle at rest with one more mass on it (additions to the format, "Numbers").

#include <optional>

#include "stance.hpp"

namespace ridepitch::oracle {

/// How far the body comes down over one wheel's contact under 100 g there, as high as the centre of gravity; none where it
/// finds no rest.
std::optional<double> sink_100g_mm(const Model& model, const Stance& rest, const Contact& contact);

}  // namespace ridepitch::oracle
