#pragma once
// A linkage seen from above with its drive moved by hand: a place of the library's own sweep.

#include <optional>
#include <vector>

#include "state/solved.hpp"

namespace ridepitch::view {

/// The steering of a corner; null where it has none.
const Steering* steering_of(const Solved& solved, int corner);

/// The place of the sweep that is nearest to a value of the drive [mm or degrees].
std::size_t nearest_drive(const Steering& steering, double drive);

/// The place of the sweep at which a point of a body is nearest to a point of the chassis grid.
std::size_t nearest_drive(const Steering& steering, int body, const Vec2& p_B, const Vec2& p_C);

/// What every drive reads [mm or degrees] while that of one corner stands at a value: drives that follow one another move
/// along, as far as their ranges go, the others stay at 0.
/// @returns one for each of solved.steered->steering; empty where the corner has none
std::vector<double> drives_with(const Solved& solved, int corner, double drive);

/// Bodies' poses, the chassis first.
/// @param drive  none: as the file draws it, the drive at 0
std::vector<Pose> steered_poses(const Solved& solved, int corner, std::optional<double> drive);

}  // namespace ridepitch::view
