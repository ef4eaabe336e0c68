#pragma once
// What a corner does once it is built, from the forces in its joints: play and friction (additions to the format, "Numbers").

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

}  // namespace ridepitch::oracle
