#include "state/travel_place.hpp"

#include <cmath>
#include <limits>

namespace ridepitch::view {
namespace {

template <class Distance>
std::size_t nearest(const Curve& curve, const Distance& distance) {
  std::size_t best = 0;
  double least = std::numeric_limits<double>::infinity();
  for (std::size_t i = 0; i < curve.points.size(); ++i) {
    const double d = distance(curve.points[i]);
    if (d < least) {
      least = d;
      best = i;
    }
  }
  return best;
}

}  // namespace

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
  return nearest(curve, [&](const CurvePoint& point) { return std::abs(point.travel_mm - travel_mm); });
}

std::size_t nearest_point(const Curve& curve, const Vec2& centre_C_mm) {
  return nearest(curve, [&](const CurvePoint& point) { return (point.centre_C_mm - centre_C_mm).norm(); });
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
