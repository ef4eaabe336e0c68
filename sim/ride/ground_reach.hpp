#pragma once
// How much rougher and how much steeper the ground may get before a wheel comes off it or the vehicle tips over.

#include "ride/corner_result.hpp"
#include "ride/floor.hpp"

namespace ridepitch {

/// How far the ground may rise and fall under each wheel in turn, from where the vehicle stands, and how far the floor may be
/// tilted to each side with its blocks in place. Each is found by halving, the vehicle followed from rest to rest.
/// Only what it stands on where floor.explore is false.
FloorResult explore_floor(const RestedVehicle& rested, const Floor& floor);

/// The steepest floor on which a vehicle that rests on the level one still stands.
double steepest_tilt_deg(const System& level_system, const Rest& level, Toward toward);

}  // namespace ridepitch
