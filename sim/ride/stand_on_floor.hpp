#pragma once
// A vehicle let down onto its blocks and tilted with its floor.

#include <optional>

#include "ride/floor.hpp"
#include "ride/lower.hpp"
#include "ride/vehicle.hpp"

namespace ridepitch {

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
