#pragma once
// What is found against a model beyond how it stands: one list for the command line and the window.

#include <vector>

#include "ride/solution.hpp"

namespace ridepitch {

/// What keeps it from being built: holes that its parts do not have, parts and tyres that touch.
/// @param solution  of the same model
std::vector<Finding> build_findings(const Model& model, const Solution& solution);

/// The same, joints that bind, and what `steer` finds or refuses it for. What solve() found itself is not repeated.
/// @param solution  of the same model
std::vector<Finding> further_findings(const Model& model, const Solution& solution);

/// Those of solve(), then these.
std::vector<Finding> all_findings(const Model& model, const Solution& solution);

}  // namespace ridepitch
