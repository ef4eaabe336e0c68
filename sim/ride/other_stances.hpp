#pragma once
// Other stances in which a vehicle would stay than the one it comes to when it is let down.

#include <vector>

#include "ride/corner_result.hpp"
#include "ride/solution.hpp"

namespace ridepitch {

/// Stable stances beside the one at rest, found by letting go from all wheels at bump and from either end of pitch.
std::vector<OtherStance> other_stances(const RestedVehicle& rested);

}  // namespace ridepitch
