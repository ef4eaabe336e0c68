#pragma once
// What more weight on the body does: how much over a wheel bottoms it, how far the body sinks there under 100 g.

#include "ride/rested.hpp"

namespace ridepitch {

/// Adds `weight_to_bump_g`, or why there is none, and `sink_100g_mm` to the wheels of all corners.
///
/// The mass is a point of the body that at rest lies plumb over the wheel's contact, at the height (vehicle z) of the centre of
/// gravity of what the springs carry. The vehicle is followed from rest while it grows, until a stop is met that a rise of this
/// wheel runs into.
/// @pre the vehicle stands on a level floor
void add_more_weight(const RestedVehicle& rested, std::vector<CornerResult>& corners);

}  // namespace ridepitch
