#pragma once
// The linkage of one corner on its grid of holes, as the file draws it.

#include <optional>
#include <vector>

#include "picture/shapes.hpp"
#include "state/places.hpp"
#include "state/selection.hpp"
#include "state/solved.hpp"

namespace ridepitch::view {

struct LinkageLook {
  Selection selection;                 ///< its corner is the one drawn
  int wheel = 0;                       ///< whose travel is looked at
  std::optional<double> travel_mm;     ///< none: at rest
  std::optional<double> drive;         ///< of a linkage seen from above, mm or degrees; none: at 0
  const Solved* before = nullptr;      ///< drawn under it as a ghost, matched by the corner's name; may be null
  const HolePlaces* places = nullptr;  ///< of a hole that is dragged; may be null
  std::vector<Pose> places_poses;      ///< the bodies' poses when the drag began; empty: as now
  std::optional<Vec2> refused_C_mm;    ///< where a hole is tried and the linkage does not fit
  bool names = true;                   ///< of bodies and holes that are selected, of springs and rods
};

Picture linkage_picture(const Solved& solved, const LinkageLook& look);

/// Bodies' poses of the picture, the chassis first.
std::vector<Pose> poses_shown(const Solved& solved, const LinkageLook& look);

/// What lies under a point of the plane: the nearest hole within reach, else the nearest rod or spring, else a wheel; none
/// if nothing is near. Of several holes in one place (a pin) the chassis's is taken, else the first in file order: dragging
/// a pivot moves the place that it is at. What is selected already stays selected; `again` takes the one after it.
Selection thing_at(const Solved& solved, const LinkageLook& look, const Vec2& p_mm, double reach_mm, bool again);

}  // namespace ridepitch::view
