#include "picture/shapes.hpp"

#include <cmath>
#include <numbers>
#include <optional>

namespace ridepitch {
namespace {

constexpr int arc_parts = 12;  // of a half circle

}  // namespace

bool overlap(const Box& a, const Box& b, double gap) {
  return a.low.x() < b.high.x() + gap && b.low.x() < a.high.x() + gap && a.low.y() < b.high.y() + gap &&
         b.low.y() < a.high.y() + gap;
}

bool within(const Box& inner, const Box& outer) {
  return (inner.low.array() >= outer.low.array()).all() && (inner.high.array() <= outer.high.array()).all();
}

Box grown(const Box& box, double by) { return {box.low.array() - by, box.high.array() + by}; }

Box united(const Box& a, const Box& b) { return {a.low.cwiseMin(b.low), a.high.cwiseMax(b.high)}; }

Vec2 nearest_in(const Box& box, const Vec2& p) { return p.cwiseMax(box.low).cwiseMin(box.high); }

Box bounds_of(const std::vector<Shape>& shapes) {
  std::optional<Box> box;
  const auto widen = [&](const Vec2& p, double by) {
    const Box around = grown({p, p}, by);
    box = box ? united(*box, around) : around;
  };
  for (const Shape& shape : shapes) {
    if (const auto* area = std::get_if<Area>(&shape))
      for (const Vec2& p : area->points) widen(p, 0);
    if (const auto* line = std::get_if<Line>(&shape))
      for (const Vec2& p : line->points) widen(p, 0);
    if (const auto* disc = std::get_if<Disc>(&shape)) widen(disc->centre, disc->radius_mm);
  }
  return box.value_or(Box{});
}

std::vector<Vec2> beam_outline(const Vec2& a, const Vec2& b, double radius_mm) {
  const Vec2 along = b - a;
  const double heading = along.norm() > 1e-9 ? std::atan2(along.y(), along.x()) : 0;
  std::vector<Vec2> points;
  const auto half_circle = [&](const Vec2& centre, double from) {
    for (int i = 0; i <= arc_parts; ++i) {
      const double angle = from + std::numbers::pi * i / arc_parts;
      points.push_back(centre + radius_mm * Vec2(std::cos(angle), std::sin(angle)));
    }
  };
  half_circle(b, heading - std::numbers::pi / 2);
  half_circle(a, heading + std::numbers::pi / 2);
  return points;
}

std::vector<Vec2> coil_line(const Vec2& from, const Vec2& to, double diameter_mm, int turns) {
  const Vec2 along = to - from;
  const double length = along.norm();
  if (length < 1e-9 || turns < 1) return {from, to};
  const Vec2 unit = along / length, side = Vec2(-unit.y(), unit.x()) * (diameter_mm / 2);
  // A tenth of the length at either end is the eye, a straight piece.
  const double eye = 0.1;
  std::vector<Vec2> points = {from, from + eye * along};
  for (int i = 0; i < 2 * turns; ++i) {
    const double share = eye + (1 - 2 * eye) * (i + 0.5) / (2 * turns);
    points.push_back(from + share * along + (i % 2 == 0 ? 1 : -1) * side);
  }
  points.push_back(from + (1 - eye) * along);
  points.push_back(to);
  return points;
}

}  // namespace ridepitch
