#pragma once
// Where labels go in a drawing: beside what they are about, off lines and off each other.

#include <vector>

#include "sheet/sheet.hpp"

namespace ridepitch {

/// Which cells of a drawing have ink, half a mm each.
struct InkMap {
  int columns = 0, rows = 0;
  std::vector<unsigned char> inked;
};

InkMap ink_map(const Vec2& size_mm);
void ink_line(InkMap& map, const Vec2& a_mm, const Vec2& b_mm);
void ink_disc(InkMap& map, const Vec2& centre_mm, double radius_mm);
/// The outline and all that is within. @param points  of a convex polygon
void ink_area(InkMap& map, const std::vector<Vec2>& points_mm);

struct LabelWish {
  std::string text;
  std::vector<Vec2> about_mm;  ///< any of these points will do; the first is liked best
  Vec2 size_mm = Vec2::Zero();
  double off_mm = 1;  ///< how near it may come
  bool numbered = false;
};

/// Each label gets the place within `space` with the least sum of distance to a point that it is about, ink under it and ink
/// under its leader, off all labels before it and their leaders. The first wishes choose first. A label without any place is
/// left out. The window has place_labels() instead, which is exact and fast but knows no ink.
std::vector<SheetLabel> labels_off_ink(const std::vector<LabelWish>& wishes, const InkMap& ink, const Box& space);

}  // namespace ridepitch
