#include "picture/view.hpp"

#include <algorithm>

namespace ridepitch::view {
namespace {

constexpr double least_px_per_mm = 0.05, most_px_per_mm = 200;

}  // namespace

Vec2 to_px(const View& view, const Vec2& p_mm) {
  const Vec2 d = (p_mm - view.middle_mm) * view.px_per_mm;
  return view.corner_px + view.size_px / 2 + Vec2(d.x(), -d.y());
}

Vec2 to_mm(const View& view, const Vec2& p_px) {
  const Vec2 d = p_px - view.corner_px - view.size_px / 2;
  return view.middle_mm + Vec2(d.x(), -d.y()) / view.px_per_mm;
}

void fit(View& view, const Box& box, double margin_px, double below_px) {
  const Vec2 size = (box.high - box.low).cwiseMax(1.0);
  const Vec2 space = (view.size_px.array() - 2 * margin_px - Eigen::Array2d(0, below_px)).max(10.0);
  view.px_per_mm = std::clamp(std::min(space.x() / size.x(), space.y() / size.y()), least_px_per_mm, most_px_per_mm);
  view.middle_mm = (box.low + box.high) / 2 - Vec2(0, below_px / 2 / view.px_per_mm);
}

void zoom_at(View& view, const Vec2& p_px, double factor) {
  const Vec2 stays = to_mm(view, p_px);
  view.px_per_mm = std::clamp(view.px_per_mm * factor, least_px_per_mm, most_px_per_mm);
  view.middle_mm += stays - to_mm(view, p_px);
}

}  // namespace ridepitch::view
