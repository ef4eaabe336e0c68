#pragma once
// The linkage of one corner on its grid of holes, as the file draws it; mm of its plane, v up, to px of a window, y down.

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

struct View {
  Vec2 middle_mm = Vec2::Zero();  ///< what lies in the middle of the pane
  double px_per_mm = 4;
  Vec2 corner_px = Vec2::Zero();  ///< the pane's upper left
  Vec2 size_px = Vec2(400, 300);
};

Vec2 to_px(const View& view, const Vec2& p_mm);
Vec2 to_mm(const View& view, const Vec2& p_px);

/// Everything of a box in the pane, with a margin around. @param below_px  of the pane that stays free, for a caption
void fit(View& view, const Box& box, double margin_px, double below_px = 0);

/// Nearer by a factor, the point under the pointer staying there. Scales stay within 0.05 and 200 px/mm.
void zoom_at(View& view, const Vec2& p_px, double factor);

}  // namespace ridepitch::view
