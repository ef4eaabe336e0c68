#pragma once
// Standing on a floor out of level. Tyres do not slide: each holds as large a share of the pull downhill as it carries of
// the load, so that the force on every contact is plumb. docs/theory.md, "Slope".

#include <optional>

#include "ride/floor.hpp"
#include "ride/lower.hpp"
#include "ride/vehicle.hpp"

namespace ridepitch {

inline constexpr double grip_repeats = 1e-13;  ///< of the load: as well as numbers can

/// Tilts the floor of a system at once; loads and grip are then to be found.
void set_slope(double slope_rad, Toward toward, System& system);

/// Gives every tyre the grip that it has by the loads of a rest: where the search for the grip on a slope begins.
void grip_as_loaded(const Rest& rest, System& system);

/// The rest that a system comes to from a state on the floor as it is tilted, with the grip of every tyre found by
/// repetition. On a level floor: come_to_rest().
/// @param system     its grip is where the search begins, and what was found at its end
/// @returns none where nothing holds it, or no grip is found
std::optional<Rest> come_to_rest_gripping(System& system, const State& from);

/// The same from a rest near by: follow_rest() with grip.
/// @param same_grip  share of the load within which the grip of a tyre repeats
std::optional<Rest> follow_rest_gripping(System& system, const Rest& from, double same_grip = grip_repeats);

/// The floor tilted little by little with the vehicle on it, from level.
/// @param level  its rest on the level floor
/// @returns none where it tips over
std::optional<Rest> tilt(System& system, const Rest& level, double slope_rad, Toward toward);

struct RestOrProblem {
  std::optional<Rest> rest;
  std::optional<Problem> problem;  ///< it does not stand there, and why
};

/// Lets a vehicle down onto its blocks, the floor level, then tilts the floor with the vehicle on it.
/// @param level    its rest without blocks
/// @param steps    as for lower()
/// @param vehicle  its system has the blocks and the slope afterwards
/// @pre check_floor() found nothing
RestOrProblem stand_on_floor(const Model& model, const Floor& floor, const Rest& level, int steps, Vehicle& vehicle);

}  // namespace ridepitch
