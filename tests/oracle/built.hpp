#pragma once
// What a corner does once it is built, from the forces in its joints: play and friction (additions to the format, "Numbers").

#include <functional>

#include "members.hpp"
#include "travel.hpp"

namespace ridepitch::oracle {

/// Sum of the forces at all joints [N]: pins, both ends of rods and of springs.
double joint_force_n(const Linkage& linkage, const Members& members, const std::vector<SpringResult>& springs);

/// Friction at one sprung wheel [N], by virtual work over its motion.
/// @param x      bodies' variables at rest
/// @param place  index into the rig's sprung wheels
double friction_n(const Model& model, const Rig& rig, const Vector& x, const Rates& rates, int place,
                  const Members& members, const std::vector<SpringResult>& springs);

/// Height from which a set-down just bottoms one sprung wheel [mm]: (U + f T) / W - T.
/// @param load_n  W, what the springs carry at rest
std::optional<double> set_down_height_mm(const Model& model, const Rig& rig, const Vector& x, int place,
                                         const std::vector<int>& kept, double load_n);

/// The vehicle, or the bench, at rest with friction that takes from the springs' forces (-1: it was pressed) or adds to
/// them (1: it was lifted).
/// @param friction  of every contact's wheel in a stance; 0 where there is none
/// @throws std::runtime_error where it does not settle
Stance held_by_friction(const Stance& rest, double sign, bool bench,
                        const std::function<Vector(const Stance&)>& friction);

}  // namespace ridepitch::oracle
