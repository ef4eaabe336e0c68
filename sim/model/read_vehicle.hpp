#pragma once
// The sections of the vehicle as a whole: masses, weighings, bars, points and boxes.

#include "model/linkage_draft.hpp"
#include "model/read_corners.hpp"

namespace ridepitch {

/// Reads all sections that are neither linkage, corner nor tune. Corners are read already.
void read_vehicle(const Fields& root, const PartsAndUnits& parts, VehicleDraft& draft);

/// Reads `[[weighed]]` and `[sprung]`, and checks them against masses and loads.
void read_weighed(const Fields& root, VehicleDraft& draft);

}  // namespace ridepitch
