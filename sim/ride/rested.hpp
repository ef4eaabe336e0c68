#pragma once
// A vehicle at rest, and what is read off it: corners, paths, axles, modes, other stances, how much rougher the ground may get.

#include <vector>

#include "ride/floor.hpp"
#include "ride/lower.hpp"
#include "ride/solution.hpp"
#include "ride/travels.hpp"
#include "ride/vehicle.hpp"

namespace ridepitch {

/// Everything that is known once a vehicle rests: what its results are read from.
struct RestedVehicle {
  const Model& model;
  Vehicle vehicle;
  std::vector<LinkageTravel> travels;
  Rest rest;
  int curve_points = 0;
};

/// The travel of one of several wheels, as followed from rest.
struct TravelFromRest {
  std::size_t member = 0;
  int wheel = 0;
  Travel travel;
};

/// One corner's wheels, springs, rods and pins at rest. Curves of its wheels are appended to `curves`.
/// @param followed  travels of the corners before, with those of this one appended: the other side of a vehicle that
///                  stands level shares them
/// @param dead      wheels at or beside a dead point of their travel are appended: rates, ratios and slopes do not exist there
CornerResult corner_result(const RestedVehicle& rested, std::size_t corner, std::vector<TravelFromRest>& followed,
                           std::vector<Curve>& curves, std::vector<WheelRef>& dead);

/// The vehicle's three modes at rest, in the order bounce, pitch, roll; none where the body has fewer than three
/// freedoms or a direction has no inertia about the centre of gravity.
///
///     K x = w^2 M x,   K: second derivative of the energy in (h, p, r), linkages following, contacts kept
///     M: mass for rise and sway of the centre of gravity, inertia about it for pitch, roll and yaw
///
/// Tyres grip sideways: sway and yaw follow from (h, p, r), being those with the least sum of squared sideways speeds of
/// the contacts of the wheels that carry. Each mode is named so that the sum of the named shares of kinetic energy is
/// greatest. Source: docs/theory.md, "Modes".
std::vector<Mode> find_modes(const RestedVehicle& rested);

/// Stable stances beside the one at rest, found by letting go from all wheels at bump and from either end of pitch.
std::vector<OtherStance> other_stances(const RestedVehicle& rested);

/// Adds its path, and how its body moves at rest, to every moving wheel of a corner, and to every point of the corner's curves.
///
/// Where both wheels of an axle are in one linkage, the roll centre is that of one rising as far as the other falls; the
/// points of their curves, at which one moves alone, have none.
/// @param motion  [coordinates x moving wheels] of the linkage at rest, each wheel rising alone; empty where they can't.
///                A linkage with a single freedom then moves as it can
void add_paths(const RestedVehicle& rested, std::size_t member, const Eigen::MatrixXd& motion, CornerResult& corner,
               std::vector<Curve>& curves);

/// Each wheel of the left side with the one on the right that is nearest to its mirror image, not farther along than a
/// tyre's radius; in file order of the left ones.
std::vector<AxleResult> find_axles(const RestedVehicle& rested, const std::vector<CornerResult>& corners);

/// How far the ground may rise and fall under each wheel in turn, from where the vehicle stands, and how far the floor may be
/// tilted to each side with its blocks in place. Each is found by halving, the vehicle followed from rest to rest.
/// Only what it stands on where floor.explore is false.
FloorResult explore_floor(const RestedVehicle& rested, const Floor& floor);

/// The steepest floor on which a vehicle that rests on the level one still stands.
double steepest_tilt_deg(const System& level_system, const Rest& level, Toward toward);

}  // namespace ridepitch
