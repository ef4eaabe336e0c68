#pragma once
// What play and friction make of a vehicle at rest: how low it stands as built, and between which heights it sticks.

#include "ride/rested.hpp"

namespace ridepitch {

/// Adds `as_built_height_mm` to a corner: under load a joint's pin lies on the loaded side of its hole, so by virtual work
///
///     height as built = height - c sum |P_j| / (sum of the wheel loads of its linkage)
///
/// c is the play, P_j the forces at the joints (ride/joint_loads.hpp); loads of the wheels that move and carry. Each corner by
/// itself; springs at the lengths that they have. None where its wheels carry nothing, loads are indeterminate, or all
/// wheels are fixed. Also `friction_n` and `break_out_g` of its wheels, none for lifted and fixed ones and for beams.
/// @param motion  [coordinates x moving wheels] of the linkage at rest, each wheel rising alone; empty where they can't
void add_as_built(const RestedVehicle& rested, std::size_t member, const Eigen::MatrixXd& motion, CornerResult& corner);

/// Adds `pressed_height_mm` and `lifted_height_mm` to all corners: the vehicle at rest with springs less, or plus, the friction
/// of every wheel that carries, worked out anew from the springs' forces where it comes to rest, until that settles; with
/// the play of `as_built_height_mm`.
void add_pressed_and_lifted(const RestedVehicle& rested, std::vector<CornerResult>& corners);

/// Ride height of a corner in a rest of its vehicle; on the bench the loaded radius less the wheel centre's height, none where
/// wheels disagree.
std::optional<double> ride_height_mm(const RestedVehicle& rested, const Rest& rest, std::size_t corner);

}  // namespace ridepitch
