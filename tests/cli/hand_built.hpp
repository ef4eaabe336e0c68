#pragma once
// Solved models written by hand, so that printing is tested without solving.

#include "cli/json_text.hpp"

namespace ridepitch {

/// The quarry hauler with the values that an independent solver found for it (the example of the format page),
/// rounded to what a page shows; four corners, each an arm, a rocker, a pushrod and two coils side by side.
Solved hand_built_hauler();

/// The hauler on a slope with one front wheel on a block, paths of its front wheels, and how much more ground it takes:
/// numbers of no meaning.
Solved hand_built_on_floor();

/// One arm on the bench with a torsion spring and a coil: no vehicle, no scale reading.
Solved hand_built_bench();

}  // namespace ridepitch
