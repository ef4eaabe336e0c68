#include "steer/quantity_readers.hpp"

#include <algorithm>
#include <cmath>

#include "model/index.hpp"

namespace ridepitch {
namespace {

using Value = std::optional<double>;

template <auto Steering::*member>
Value of_steering_itself(const Steering& s, const Figure&) {
  return s.*member;
}

/// To the left or to the right.
template <auto Steering::*member>
Value at_lock(const Steering& s, const Figure& f) {
  return at(s.*member, f.side);
}

Value rack_travel(const Steering& s, const Figure&) { return s.crank ? Value() : Value(s.range[1] - s.range[0]); }

Value worst_error_size(const Steering& s, const Figure&) {
  return s.worst_error_deg ? Value(std::abs(*s.worst_error_deg)) : Value();
}

/// At full lock, to the side to which it turns less sharply.
Value turn_radius(const Steering& s, const Figure&) {
  const auto& [left, right] = s.lock_radius_mm;
  if (!left || !right) return left ? left : right;
  return std::max(*left, *right);
}

/// How far a steered wheel turns, to the side to which it turns farther.
Value lock(const Steering& s, const Figure& f) {
  const auto& lock_deg = at(s.wheels, f.wheel).lock_deg;
  return std::max(std::abs(lock_deg[0]), std::abs(lock_deg[1]));
}

Value toe(const Steering& s, const Figure& f) { return at(s.wheels, f.wheel).toe_deg; }

/// Straight ahead, over its travel; none where it has no such curve.
const BumpCurve* straight_curve(const Steering& s, const Figure& f) {
  return f.wheel < count(s.bump) && at(s.bump, f.wheel).straight ? &*at(s.bump, f.wheel).straight : nullptr;
}

Value bump_steer_slope(const Steering& s, const Figure& f) {
  const BumpCurve* curve = straight_curve(s, f);
  return curve && std::isfinite(curve->rest_slope_deg_per_10mm) ? Value(curve->rest_slope_deg_per_10mm) : Value();
}

Value steer_at_droop(const Steering& s, const Figure& f) {
  const BumpCurve* curve = straight_curve(s, f);
  return curve && !curve->rod_ends_droop ? Value(curve->points.front().toe_deg) : Value();
}

Value steer_at_bump(const Steering& s, const Figure& f) {
  const BumpCurve* curve = straight_curve(s, f);
  return curve && !curve->rod_ends_bump ? Value(curve->points.back().toe_deg) : Value();
}

/// The most that a wheel turns from where it points at rest, straight ahead, over its travel; none where the rod binds.
Value bump_steer_size(const Steering& s, const Figure& f) {
  const BumpCurve* curve = straight_curve(s, f);
  if (!curve || curve->rod_ends_droop || curve->rod_ends_bump) return std::nullopt;
  double most = 0;
  for (const BumpPoint& point : curve->points) most = std::max(most, std::abs(point.toe_deg));
  return most;
}

}  // namespace

const std::vector<SteeringReader>& steering_readers() {
  static const std::vector<SteeringReader> readers = {
      {"turns_lock_to_lock", of_steering_itself<&Steering::turns_lock_to_lock>},
      {"rack_travel_mm", rack_travel},
      {name::signed_worst_error, of_steering_itself<&Steering::worst_error_deg>},
      {name::worst_error, worst_error_size},
      {"rms_error_deg", of_steering_itself<&Steering::rms_error_deg>},
      {"steering_ratio", of_steering_itself<&Steering::steering_ratio>},
      {name::turn_radius, turn_radius},
      {name::inner_lock, at_lock<&Steering::inner_lock_deg>},
      {"turn_circle_mm", at_lock<&Steering::turn_circle_mm>},
      {"kerb_circle_mm", at_lock<&Steering::kerb_circle_mm>},
      {"ackermann_percent", at_lock<&Steering::ackermann_percent>},
      {name::lock, lock},
      {name::toe, toe},
      {name::bump_steer, bump_steer_size},
      {name::bump_steer_slope, bump_steer_slope},
      {name::steer_at_droop, steer_at_droop},
      {name::steer_at_bump, steer_at_bump},
  };
  return readers;
}

std::optional<double> value_of(const Results& results, const Figure& figure) {
  if (!of_steering(figure.what->of)) return value_of(results.model, results.solution, figure);
  if (!results.steered) return std::nullopt;
  static const auto by_row = [] {
    std::vector<const SteeringReader*> all(quantities().size());
    for (const SteeringReader& each : steering_readers()) all[table_index(quantity(each.name))] = &each;
    return all;
  }();
  const auto& all = results.steered->steering;
  const auto found = std::find_if(all.begin(), all.end(), [&](const Steering& s) { return s.corner == figure.corner; });
  return found == all.end() ? std::nullopt : by_row[table_index(*figure.what)]->value(*found, figure);
}

}  // namespace ridepitch
