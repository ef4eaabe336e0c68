#pragma once
// What is found against a model beyond how it stands: one list for the command line and the window.

#include <string>
#include <vector>

#include "ride/solution.hpp"
#include "stack/stacks.hpp"
#include "steer/quantity_readers.hpp"
#include "steer/steering.hpp"

namespace ridepitch {

struct Further {
  Stacks stacks;                  ///< its findings are among these:
  std::vector<Finding> findings;  ///< what solve() found itself is not repeated
  SteerResult steering;  ///< by look_further, without effort and gaps; neither part is there where nothing is steered
};

/// What a comparison reads of a model.
Results results_of(const Model& model, const Solution& solution, const SteerResult& steering);

/// Why its steering could not be worked out; empty: it could, or nothing is steered.
std::string why_not_steered(const SteerResult& steering);

/// What keeps it from being built or from moving: holes that its parts do not have, parts that touch or do not stack, tyres
/// that touch, joints of what is not steered that bind.
/// @param solution  of the same model
/// @param steered   none: what is steered is looked at as it is drawn
Further look_at_build(const Model& model, const Solution& solution, const Steered* steered);

/// The same, and what `steer` finds or refuses it for.
Further look_further(const Model& model, const Solution& solution);

/// Those of solve(), then these.
std::vector<Finding> all_findings(const Model& model, const Solution& solution);

}  // namespace ridepitch
