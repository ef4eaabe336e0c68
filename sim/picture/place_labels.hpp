#pragma once
// Where the words of a drawing go, so that none lies on another.

#include <functional>
#include <string>
#include <vector>

#include "picture/shapes.hpp"

namespace ridepitch {

/// Where a drawing is shown: everything in the screen's (or the paper's) own units, y down.
struct LabelPane {
  std::function<Vec2(const Vec2&)> place;          ///< of a point of the picture [mm]
  std::function<Vec2(const std::string&)> extent;  ///< of a text: width, height
  double unit = 1;                                 ///< one `px` of the shapes
  Box space;                                       ///< low: upper left
  double gap = 3;                                  ///< that stays free between two texts
};

struct PlacedLabel {
  const Label* label = nullptr;  ///< of the picture that was asked for
  Vec2 low = Vec2::Zero(), high = Vec2::Zero();
  /// From what is named to the edge of the text, where that had to go so far away that a line should lead to it.
  bool led = false;
  Vec2 lead_from = Vec2::Zero(), lead_to = Vec2::Zero();
};

/// Every label of a picture at the place that it asks for or, if another label or the mark of another thing is there, at the
/// nearest free place. The first of the list is placed first. No two texts overlap, and each lies within the space if there
/// is a free place in it. What lies outside the space is not named.
std::vector<PlacedLabel> place_labels(const Picture& picture, const LabelPane& pane);

}  // namespace ridepitch
