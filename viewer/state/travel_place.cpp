#include "state/travel_place.hpp"

#include <cmath>

#include "state/nearest.hpp"

namespace ridepitch::view {
const Curve* curve_of(const Solution& solution, int corner, int wheel) {
  for (const Curve& curve : solution.curves)
    if (curve.corner == corner && curve.wheel == wheel && !curve.points.empty()) return &curve;
  return nullptr;
}

int wheel_with_curve(const Solution& solution, int corner) {
  for (const Curve& curve : solution.curves)
    if (curve.corner == corner && !curve.points.empty()) return curve.wheel;
  return -1;
}

std::size_t nearest_point(const Curve& curve, double travel_mm) {
  return nearest_of(curve.points.size(),
                    [&](std::size_t i) { return std::abs(curve.points[i].travel_mm - travel_mm); });
}

std::size_t nearest_point(const Curve& curve, const Vec2& centre_C_mm) {
  return nearest_of(curve.points.size(),
                    [&](std::size_t i) { return (curve.points[i].centre_C_mm - centre_C_mm).norm(); });
}

LinkagePlace linkage_at(const Solution& solution, int corner, int wheel, std::optional<double> travel_mm) {
  LinkagePlace out;
  out.poses = solution.corners[static_cast<std::size_t>(corner)].poses;
  const Curve* curve = travel_mm ? curve_of(solution, corner, wheel) : nullptr;
  if (!curve) return out;
  const std::size_t point = nearest_point(*curve, *travel_mm);
  if (point >= curve->poses.size()) return out;
  out.point = point;
  out.poses.assign(1, Pose{});
  out.poses.insert(out.poses.end(), curve->poses[point].begin(), curve->poses[point].end());
  return out;
}

}  // namespace ridepitch::view
