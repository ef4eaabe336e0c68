#pragma once
// Letting a vehicle down onto its wheels, or loading a linkage on the bench: how it comes to rest.

#include <optional>

#include "model/problem.hpp"
#include "ride/equilibrium.hpp"
#include "ride/system.hpp"

namespace ridepitch {

struct Rest {
  State state;
  Work work;                   ///< everything at that state, bounds exact
  bool snapped = false;        ///< snapped through an unstable range
  bool indeterminate = false;  ///< statics alone does not tell the ground loads
};

/// Weight (or the bench load) grows from nothing; the stable equilibrium is followed, and where it ends the vehicle
/// snaps through, down its energy. Never an unstable stance.
/// @param steps  of the growing weight at least; more where something may snap
/// @returns none where nothing holds it: it tips over or falls without end
std::optional<Rest> lower(const System& system, const State& hanging, int steps);

/// The stable stance that a system comes to from some state with its whole weight on.
std::optional<Rest> come_to_rest(const System& system, const State& from);

/// The rest that a little change of the system, its ground say, moves another one to. Bounds are held exactly all along, for
/// soft ones give way a little, and a vehicle about to tip would tip on them.
/// @param from  a rest of the system as it was
std::optional<Rest> follow_rest(const System& system, const Rest& from);

}  // namespace ridepitch
