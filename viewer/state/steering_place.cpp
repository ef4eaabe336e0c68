#include "state/steering_place.hpp"

#include <cmath>

#include "ride/pose.hpp"
#include "state/nearest.hpp"

namespace ridepitch::view {
const Steering* steering_of(const Solved& solved, int corner) {
  if (!solved.steered) return nullptr;
  for (const Steering& each : solved.steered->steering)
    if (each.corner == corner && !each.sweep.empty() && each.poses.size() == each.sweep.size()) return &each;
  return nullptr;
}

std::size_t nearest_drive(const Steering& steering, double drive) {
  return nearest_of(steering.sweep.size(), [&](std::size_t i) { return std::abs(steering.sweep[i].drive - drive); });
}

std::size_t nearest_drive(const Steering& steering, int body, const Vec2& p_B, const Vec2& p_C) {
  return nearest_of(steering.sweep.size(), [&](std::size_t i) {
    return (in_chassis(steering.poses[i][static_cast<std::size_t>(body)], p_B) - p_C).norm();
  });
}

std::vector<Pose> steered_poses(const Solved& solved, int corner, std::optional<double> drive) {
  const Steering* steering = drive ? steering_of(solved, corner) : nullptr;
  if (!steering) return solved.solution.corners[static_cast<std::size_t>(corner)].poses;
  return steering->poses[nearest_drive(*steering, *drive)];
}

}  // namespace ridepitch::view
