#pragma once
// How a vehicle leans in a bend: roll stiffness front and rear, lean and load transfer for a tenth of g.

#include "ride/rested.hpp"

namespace ridepitch {

/// Adds `roll_stiffness_share_front`, `lean_deg_per_0_1_g` and `load_transfer_n`; each is left empty where it has no rest.
///
/// A steady 0.1 g to the side is a floor tilted by atan 0.1 with all weights times sqrt(1 + 0.01): tyres hold, each in
/// proportion to its load (docs/theory.md, "Slope"). The lean is how much farther the body rolls outward, the transfer how
/// much more the outer wheels then carry. The share is that of the wheels ahead of the centre of gravity in the moment of the
/// changes of load, sum of change times y, under a small roll couple.
/// Source: W. F. Milliken and D. L. Milliken, Race Car Vehicle Dynamics, ch. 16 and 18 (from memory).
/// @pre the vehicle stands on a level floor
void add_bend(const RestedVehicle& rested, VehicleResult& vehicle);

}  // namespace ridepitch
