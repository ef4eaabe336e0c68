#pragma once
// From mm of a plane, v up, to pixels of a window, y down; to scale.

#include "picture/shapes.hpp"

namespace ridepitch::view {

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
