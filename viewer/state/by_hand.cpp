#include "state/by_hand.hpp"

#include <algorithm>
#include <cmath>

#include "model/index.hpp"
#include "ride/pose.hpp"

namespace ridepitch::view {
namespace {

/// The index of the first entry of a list at the least distance.
template <class List, class Distance>
std::size_t nearest_of(const List& list, const Distance& distance) {
  const auto nearer = [&](const auto& a, const auto& b) { return distance(a) < distance(b); };
  return static_cast<std::size_t>(std::min_element(list.begin(), list.end(), nearer) - list.begin());
}

/// The linkage at the head of a chain of drives, and how far a drive moves for one of the head's.
struct Led {
  int head = 0;
  double factor = 1;
};

Led led_by(const Solved& solved, const Steering& steering) {
  const std::vector<Steering>& all = solved.steered->steering;
  Led out{steering.linkage, 1};
  const Steering* here = &steering;
  // The model's reader refuses a ring of followers; a chain has as many links as there are drives at the most.
  for (std::size_t i = 0; i < all.size() && !here->follows.empty(); ++i) {
    const int head = index_of(solved.model.linkages, here->follows);
    const auto leader = std::find_if(all.begin(), all.end(), [&](const Steering& s) { return s.linkage == head; });
    if (leader == all.end()) break;
    out = {head, out.factor * here->ratio};
    here = &*leader;
  }
  return out;
}

}  // namespace

int wheel_with_curve(const Solution& solution, int corner) {
  for (const Curve& curve : solution.curves)
    if (curve.corner == corner && !curve.points.empty()) return curve.wheel;
  return -1;
}

std::size_t nearest_point(const Curve& curve, double travel_mm) {
  return nearest_of(curve.points, [&](const CurvePoint& p) { return std::abs(p.travel_mm - travel_mm); });
}

std::size_t nearest_point(const Curve& curve, const Vec2& centre_C_mm) {
  return nearest_of(curve.points, [&](const CurvePoint& p) { return (p.centre_C_mm - centre_C_mm).norm(); });
}

LinkagePlace linkage_at(const Solution& solution, int corner, int wheel, std::optional<double> travel_mm) {
  const Curve* curve = travel_mm ? curve_of(solution, corner, wheel) : nullptr;
  const std::size_t point = curve ? nearest_point(*curve, *travel_mm) : 0;
  if (!curve || point >= curve->poses.size()) return {at(solution.corners, corner).poses, std::nullopt};
  LinkagePlace out{{Pose{}}, point};
  out.poses.insert(out.poses.end(), curve->poses[point].begin(), curve->poses[point].end());
  return out;
}

const Steering* steering_of(const Solved& solved, int corner) {
  if (!solved.steered) return nullptr;
  for (const Steering& each : solved.steered->steering)
    if (each.corner == corner && !each.sweep.empty() && each.poses.size() == each.sweep.size()) return &each;
  return nullptr;
}

std::size_t nearest_drive(const Steering& steering, double drive) {
  return nearest_of(steering.sweep, [&](const SteerPoint& p) { return std::abs(p.drive - drive); });
}

std::size_t nearest_drive(const Steering& steering, int body, const Vec2& p_B, const Vec2& p_C) {
  return nearest_of(steering.poses,
                    [&](const std::vector<Pose>& poses) { return (in_chassis(at(poses, body), p_B) - p_C).norm(); });
}

std::vector<double> hand_values(const Solved& solved, int corner, int wheel) {
  std::vector<double> out;
  if (const Steering* steering = steering_of(solved, corner)) {
    for (const SteerPoint& point : steering->sweep) out.push_back(point.drive);
  } else if (const Curve* curve = curve_of(solved.solution, corner, wheel)) {
    for (const CurvePoint& point : curve->points) out.push_back(point.travel_mm);
  }
  return out;
}

std::size_t nearest_value(const std::vector<double>& values, double value) {
  return nearest_of(values, [&](double each) { return std::abs(each - value); });
}

std::vector<double> drives_with(const Solved& solved, int corner, double drive) {
  const Steering* moved = steering_of(solved, corner);
  if (!moved) return {};
  const Led own = led_by(solved, *moved);
  const double head = own.factor != 0 ? drive / own.factor : 0;
  std::vector<double> out;
  for (const Steering& each : solved.steered->steering) {
    const Led led = led_by(solved, each);
    const double along = led.head == own.head ? std::clamp(head * led.factor, each.range[0], each.range[1]) : 0.0;
    out.push_back(&each == moved ? drive : along);
  }
  return out;
}

std::vector<Pose> steered_poses(const Solved& solved, int corner, std::optional<double> drive) {
  const Steering* steering = drive ? steering_of(solved, corner) : nullptr;
  if (!steering) return at(solved.solution.corners, corner).poses;
  return steering->poses[nearest_drive(*steering, *drive)];
}

}  // namespace ridepitch::view
