#pragma once
// Bounce, pitch and roll of the sprung mass on its wheels.

#include <vector>

#include "ride/lower.hpp"
#include "ride/solution.hpp"
#include "ride/vehicle.hpp"

namespace ridepitch {

/// The vehicle's three modes at rest, in the order bounce, pitch, roll; none where the body has fewer than three
/// freedoms or a direction has no inertia.
///
///     K x = w^2 M x,   K: second derivative of the energy in (h, p, r), linkages following, contacts kept
///     M: mass for the rise of the centre of gravity, inertia about it for p and r
///
/// Each is named so that the sum of the named shares of kinetic energy is greatest. Source: docs/theory.md, "Modes".
std::vector<Mode> find_modes(const SprungMass& sprung, const Rest& rest, double module_mm);

}  // namespace ridepitch
