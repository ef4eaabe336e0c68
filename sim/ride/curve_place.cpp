#include "ride/curve_place.hpp"

#include <algorithm>
#include <cmath>

namespace ridepitch {

const Curve* curve_of(const Solution& solution, int corner, int wheel) {
  for (const Curve& curve : solution.curves)
    if (curve.corner == corner && curve.wheel == wheel && !curve.points.empty()) return &curve;
  return nullptr;
}

CarrierPlace place_on_curve(const Curve& curve, double travel_mm) {
  const auto& points = curve.points;
  auto next = std::upper_bound(points.begin(), points.end(), travel_mm,
                               [](double t, const CurvePoint& p) { return t < p.travel_mm; });
  next = std::clamp(next, points.begin() + (points.size() > 1 ? 1 : 0), points.end() - 1);
  const CurvePoint &a = points.size() > 1 ? *(next - 1) : *next, &b = *next;
  const double length = b.travel_mm - a.travel_mm;
  if (!(length > 0)) return {b.centre_C_mm, b.motion};
  const double t = std::clamp((travel_mm - a.travel_mm) / length, 0.0, 1.0), s = 1 - t;
  const auto between = [&](double from, double from_slope, double to, double to_slope) {
    if (!std::isfinite(from_slope) || !std::isfinite(to_slope)) return s * from + t * to;  // at a dead point
    return (1 + 2 * t) * s * s * from + t * s * s * length * from_slope + t * t * (3 - 2 * t) * to -
           t * t * s * length * to_slope;
  };
  CarrierPlace out;
  out.centre_C_mm =
      Vec2(between(a.centre_C_mm.x(), a.motion.centre_per_mm.x(), b.centre_C_mm.x(), b.motion.centre_per_mm.x()),
           s * a.centre_C_mm.y() + t * b.centre_C_mm.y());
  out.motion.turn_rad =
      between(a.motion.turn_rad, a.motion.turn_rad_per_mm, b.motion.turn_rad, b.motion.turn_rad_per_mm);
  return out;
}

double travel_at_rest_mm(const Curve& curve, const Vec2& rest_C_mm) {
  const CurvePoint& first = curve.points.front();
  return first.travel_mm + rest_C_mm.y() - first.centre_C_mm.y();
}

}  // namespace ridepitch
