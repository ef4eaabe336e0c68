#include "picture/place_labels.hpp"

#include <algorithm>
#include <limits>

namespace ridepitch {
namespace {

constexpr double led_from_px = 22;  // a text farther from what it names gets a line to it

/// The upper left corner nearest to a wanted one at which a box of that size overlaps nothing. The nearest free place touches
/// a box that is taken, or the edge of the space, so only such places are tried.
Vec2 nearest_free(const Vec2& wanted, const Vec2& size, const std::vector<Box>& taken, const Box& space) {
  std::vector<double> xs = {wanted.x(), space.low.x(), space.high.x() - size.x()};
  std::vector<double> ys = {wanted.y(), space.low.y(), space.high.y() - size.y()};
  for (const Box& each : taken) {
    xs.insert(xs.end(), {each.low.x() - size.x(), each.high.x()});
    ys.insert(ys.end(), {each.low.y() - size.y(), each.high.y()});
  }
  Vec2 best = wanted;
  double least = std::numeric_limits<double>::infinity();
  bool best_inside = false;
  for (const double x : xs) {
    for (const double y : ys) {
      const Vec2 low(x, y);
      const Box box{low, low + size};
      const bool inside = within(box, space);
      const double away = (low - wanted).squaredNorm();
      if ((best_inside && !inside) || (best_inside == inside && away >= least)) continue;
      if (std::any_of(taken.begin(), taken.end(), [&](const Box& each) { return overlap(box, each); })) continue;
      best = low;
      least = away;
      best_inside = inside;
    }
  }
  return best;
}

}  // namespace

std::vector<PlacedLabel> place_labels(const Picture& picture, const LabelPane& pane) {
  struct MarkBox {
    Vec2 at;
    Box box;
  };
  std::vector<MarkBox> marks;
  for (const Shape& shape : picture.shapes)
    if (const auto* mark = std::get_if<Mark>(&shape)) {
      const Vec2 middle = pane.place(mark->at);
      marks.push_back({mark->at, grown({middle, middle}, mark->size_px * pane.unit)});
    }
  std::vector<PlacedLabel> out;
  std::vector<Box> texts;  // with the gap around
  for (const Shape& shape : picture.shapes) {
    const auto* label = std::get_if<Label>(&shape);
    if (!label || label->text.empty()) continue;
    const Vec2 named = pane.place(label->at), size = pane.extent(label->text);
    if (!within({named, named}, pane.space)) continue;
    std::vector<Box> taken = texts;
    for (const MarkBox& each : marks)
      if (each.at != label->at) taken.push_back(each.box);
    PlacedLabel placed;
    placed.label = label;
    placed.low = nearest_free(named + label->shift_px * pane.unit, size, taken, pane.space);
    placed.high = placed.low + size;
    const Box box{placed.low, placed.high};
    placed.lead_from = named;
    placed.lead_to = nearest_in(box, named);
    placed.led = (placed.lead_to - named).norm() > std::max(led_from_px, label->shift_px.norm()) * pane.unit;
    texts.push_back(grown(box, pane.gap));
    out.push_back(placed);
  }
  return out;
}

}  // namespace ridepitch
