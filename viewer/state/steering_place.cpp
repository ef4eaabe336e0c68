#include "state/steering_place.hpp"

#include <algorithm>
#include <cmath>

#include "ride/pose.hpp"
#include "state/nearest.hpp"

namespace ridepitch::view {
namespace {

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
    const auto leads = [&](const Steering& each) {
      return solved.model.linkages[static_cast<std::size_t>(each.linkage)].name == here->follows;
    };
    const auto leader = std::find_if(all.begin(), all.end(), leads);
    if (leader == all.end()) break;
    out.factor *= here->ratio;
    out.head = leader->linkage;
    here = &*leader;
  }
  return out;
}

}  // namespace

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
  if (!steering) return solved.solution.corners[static_cast<std::size_t>(corner)].poses;
  return steering->poses[nearest_drive(*steering, *drive)];
}

}  // namespace ridepitch::view
