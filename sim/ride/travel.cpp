#include "ride/travel.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "linkage/roots.hpp"
#include "model/index.hpp"
#include "ride/joint_loads.hpp"
#include "ride/pose.hpp"
#include "ride/wheel_path.hpp"

namespace ridepitch {
namespace {

constexpr double above_rest_mm = 1e-9;  // a point of the curve that lies higher counts as over the rest

constexpr double untold = std::numeric_limits<double>::quiet_NaN();  // at a dead point

/// Of the place last read off, by the springs alone.
Eigen::VectorXd tie_forces(const WheelFollower& follower) {
  return tie_forces(follower.held->mechanism, follower.workspace.closure, follower.workspace.g);
}

CurvePoint curve_point(const WheelFollower& follower, int wheel, double droop_height_mm, const Friction& friction) {
  CurvePoint point;
  const Mechanism& mechanism = follower.held->mechanism;
  const Eigen::VectorXd &q = follower.path.here.q, &motion = follower.path.here.heading;
  const std::vector<Turn> turns = turns_at(q);
  point.travel_mm = follower.path.here.s - droop_height_mm;
  const bool told = rates_told(mechanism, follower.rates);
  point.load_n = load_n(follower);
  point.wheel_rate_n_per_mm = told ? rate_n_per_mm(follower) : untold;
  point.friction_n = told ? friction_n(friction, joint_loads(mechanism, q, tie_forces(follower), motion)) : untold;
  point.centre_C_mm = position(at(mechanism.wheels, wheel).at, q, turns);
  point.motion = wheel_motion(mechanism, wheel, q, motion);
  for (const SpringElement& spring : mechanism.springs) {
    const GaugeReading reading = read(spring.gauge, q, turns);
    const double ratio = told ? -slope_along(spring.gauge, reading, motion) : untold;
    point.spring_length_mm.push_back(reading.value);
    point.spring_force_n.push_back(element_force(spring, reading.value).push_n);
    point.spring_motion_ratio.push_back(ratio);
    if (!spring.turns && !point.motion_ratio && std::abs(ratio) > 1e-9) point.motion_ratio = ratio;
  }
  return point;
}

void take_least(const std::optional<double>& value, std::optional<double>& least) {
  if (value && (!least || *value < *least)) least = value;
}

// A point of the curve, as far as margins go.
struct MarginSample {
  Eigen::VectorXd q;
  double height_mm = 0;
  Margins margins;
};

// The least margin between two heights: the samples only bracket it.
void refine(const Travel& travel, const Eigen::VectorXd& q_low, double low, double high,
            std::optional<double> Margins::*which, std::optional<double>& least) {
  constexpr double close_enough = 1e-7;  // of the height; a least value is flat there
  constexpr double none = 1e300;
  WheelFollower follower = follow_wheel(travel.held, travel.held_wheel, q_low);
  const auto margin_at = [&](double height) {
    if (!advance(follower.path, height)) return none;
    read_off(follower);
    const auto value = margins_at(travel.held.mechanism, follower.path.here.q, follower.path.here.heading).*which;
    take_least(value, least);
    return value.value_or(none);
  };
  find_least(margin_at, low, high, close_enough * (1 + std::abs(high)));
}

// A rod between two moving bodies that becomes collinear with one of them is perpendicular to the path of its end.
bool a_rod_is_collinear(const Mechanism& mechanism, const std::vector<std::string>& links) {
  return std::any_of(mechanism.ties.begin(), mechanism.ties.end(), [&](const Tie& tie) {
    return tie.of == Tie::Of::rod && tie.gauge.p.body != ground && tie.gauge.q.body != ground &&
           std::find(links.begin(), links.end(), at(mechanism.linkage->rods, tie.index).name) != links.end();
  });
}

// The least over a curve's samples, and between those beside the least one.
void find_least_margin(Travel& travel, const std::vector<MarginSample>& samples,
                       std::optional<double> Margins::*which) {
  std::size_t best = 0;
  const auto margin = [&](std::size_t i) { return samples[i].margins.*which; };
  for (std::size_t i = 0; i < samples.size(); ++i) {
    take_least(margin(i), travel.margins.*which);
    if (margin(i) && (!margin(best) || *margin(i) < *margin(best))) best = i;
  }
  if (best > 0 && best + 1 < samples.size() && margin(best))
    refine(travel, samples[best - 1].q, samples[best - 1].height_mm, samples[best + 1].height_mm, which,
           travel.margins.*which);
}

void sweep_curve(Travel& travel, int wheel, int points, bool want_margins, const Friction& friction) {
  const Mechanism& mechanism = travel.held.mechanism;
  std::vector<MarginSample> samples;
  std::vector<EndMargin> before, now;
  sample_travel(travel.held, travel.held_wheel, travel.low, travel.bump, points, [&](const WheelFollower& follower) {
    const PathPlace& here = follower.path.here;
    travel.curve.points.push_back(curve_point(follower, wheel, travel.droop_height_mm, friction));
    travel.curve.poses.push_back(moving_poses(here.q));
    if (!want_margins) return;
    samples.push_back({here.q, here.s, {}});
    if (follower.rates.finite) {
      samples.back().margins = margins_at(mechanism, here.q, here.heading, &now);
      take_perpendicular(before, now, samples.back().margins);
    }
    std::swap(before, now);
  });
  if (!want_margins) return;
  if (travel.bump.name == "dead point" && !samples.empty() && a_rod_is_collinear(mechanism, travel.bump.links))
    samples.back().margins.toggle_rad = 0;
  find_least_margin(travel, samples, &Margins::toggle_rad);
  find_least_margin(travel, samples, &Margins::coil_rad);
}

Eigen::VectorXd coordinates_of(const std::vector<Pose>& poses) {
  Eigen::VectorXd q(3 * count(poses));
  for (int b = 0; b < count(poses); ++b) q.segment<3>(3 * b) << at(poses, b).p_CB, at(poses, b).theta_rad;
  return q;
}

WheelFollower wheel_at(const Travel& travel, const Eigen::VectorXd& q) {
  WheelFollower follower = follow_wheel(travel.held, travel.held_wheel, q);
  read_off(follower);
  return follower;
}

// Towards a dead point springs are worked ever faster: like 1/sqrt(distance), so that the load rises without bound
// unless nothing pushes there. A load with a bound hardly changes over the last millionth of the travel.
// @returns +1 where it rises, -1 where it falls without bound, else 0
int grows_without_bound(const Travel& travel) {
  if (travel.bump.name != "dead point" || travel.curve.poses.size() < 3) return 0;
  Eigen::VectorXd q = coordinates_of(travel.curve.poses[travel.curve.poses.size() - 2]);
  const double reach = travel.bump.height_mm - travel.droop_height_mm;
  const auto load_short_of_it = [&](double share) {
    if (!place_wheel(travel.held, travel.held_wheel, travel.bump.height_mm - share * reach, q)) return 1e300;
    return load_n(wheel_at(travel, q));
  };
  const double far = load_short_of_it(1e-6), near = load_short_of_it(1e-8);
  const double bounded = 0.05 * (std::abs(far) + 1e-6);
  return near > far + bounded ? +1 : near < far - bounded ? -1 : 0;
}

void tell_no_unbounded_load(Travel& travel) {
  const int grows = grows_without_bound(travel);
  travel.unbounded_load = grows > 0;
  if (grows != 0 && std::isnan(travel.curve.points.back().wheel_rate_n_per_mm))
    travel.curve.points.back().load_n = untold;
}

// Greatest load between two heights whose wheel rates have opposite signs: there the rate is 0.
double top_of_load(const Travel& travel, const Eigen::VectorXd& q_low, const Bracket& rates) {
  constexpr double close_enough_mm = 1e-10;
  WheelFollower follower = follow_wheel(travel.held, travel.held_wheel, q_low);
  double top = -1e300;
  const auto rate_at = [&](double height_mm) {
    if (!advance(follower.path, height_mm)) return std::numeric_limits<double>::quiet_NaN();
    read_off(follower);
    top = std::max(top, load_n(follower));
    return rate_n_per_mm(follower);
  };
  find_zero(rate_at, rates, {.width = close_enough_mm, .value = 0});
  return top;
}

}  // namespace

Travel travel_alone(const Mechanism& mechanism, const Droop& droop, int points, const Friction& friction) {
  Travel travel;
  travel.held = hold_wheels(mechanism, droop.q);
  const int wheel = travel.held.wheels[0];
  travel.droop_height_mm = at(droop.height_mm, wheel);
  travel.low = droop.q;
  travel.bump = sweep_to_end(travel.held, 0, droop.q, +1);
  sweep_curve(travel, wheel, points, true, friction);
  tell_no_unbounded_load(travel);
  return travel;
}

Travel travel_from_rest(const Mechanism& mechanism, const Droop& droop, const Eigen::VectorXd& rest, int wheel,
                        int points, const Friction& friction) {
  Travel travel;
  travel.held = hold_wheels(mechanism, rest);
  const std::vector<int>& wheels = travel.held.wheels;
  travel.held_wheel = static_cast<int>(std::find(wheels.begin(), wheels.end(), wheel) - wheels.begin());
  travel.droop_height_mm = at(droop.height_mm, wheel);
  const SweepEnd low = sweep_to_end(travel.held, travel.held_wheel, rest, -1);
  // Alone, a wheel that comes down to its droop is there: the sweep's own end is only as sharp as its inner freedoms'.
  const bool alone = wheels.size() == 1;
  travel.low = alone && std::abs(low.height_mm - travel.droop_height_mm) < 1e-3 ? droop.q : low.q;
  travel.bump = sweep_to_end(travel.held, travel.held_wheel, rest, +1);
  sweep_curve(travel, wheel, points, alone, friction);
  tell_no_unbounded_load(travel);
  return travel;
}

bool on_path(const Travel& travel, const Eigen::VectorXd& q, double height_mm) {
  const auto& points = travel.curve.points;
  const auto after =
      std::lower_bound(points.begin(), points.end(), height_mm - travel.droop_height_mm,
                       [](const CurvePoint& point, double travel_mm) { return point.travel_mm < travel_mm; });
  if (after == points.begin() || points.size() < 2) return true;  // at droop or under it
  const auto i = std::min(after, points.end() - 1) - points.begin();
  const Eigen::VectorXd low = coordinates_of(at(travel.curve.poses, i - 1)),
                        high = coordinates_of(at(travel.curve.poses, i));
  const Mechanism& mechanism = travel.held.mechanism;
  if (distance_mm(mechanism, q, low) > 2 * distance_mm(mechanism, high, low) + 1e-6) return false;
  // So near to a dead point both its sides are near by; the sense of the ties tells them apart.
  Closure closure = linearised(mechanism, low);
  if (closure.J.rows() != closure.J.cols()) return true;
  const double side = closure.part.det_sign;
  linearise(mechanism, q, closure);
  return closure.part.det_sign == side;
}

std::optional<double> bump_load(const Travel& travel, const Eigen::VectorXd& rest, double rest_height_mm) {
  if (travel.unbounded_load || travel.bump.name.empty()) return std::nullopt;
  const WheelFollower start = wheel_at(travel, rest);
  double greatest = load_n(start);
  // From each place to the next; where the load turns down between them, its top lies where the wheel rate is 0.
  Eigen::VectorXd q_before = start.path.here.q;
  Bracket rates{.low = start.path.here.s, .high = 0, .at_low = rate_n_per_mm(start), .at_high = 0};
  for (std::size_t i = 0; i < travel.curve.points.size(); ++i) {
    const CurvePoint& point = travel.curve.points[i];
    rates.high = point.travel_mm + travel.droop_height_mm;
    rates.at_high = point.wheel_rate_n_per_mm;
    if (rates.high <= rest_height_mm + above_rest_mm) continue;
    greatest = std::max(greatest, point.load_n);
    if (rates.at_low > 0 && rates.at_high < 0) greatest = std::max(greatest, top_of_load(travel, q_before, rates));
    q_before = coordinates_of(travel.curve.poses[i]);
    rates.low = rates.high;
    rates.at_low = rates.at_high;
  }
  return greatest;
}

namespace {

double springs_energy(const Mechanism& mechanism, const Eigen::VectorXd& q) {
  const std::vector<Turn> turns = turns_at(q);
  double energy = 0;
  for (const SpringElement& spring : mechanism.springs)
    energy += spring_term(spring, read(spring.gauge, q, turns).value).energy;
  return energy;
}

/// Mean over evenly spaced places; by Simpson's rule where they are odd in number.
double mean_of(const std::vector<double>& values) {
  const std::size_t last = values.size() - 1;
  const bool simpson = last > 0 && last % 2 == 0;
  double sum = 0, weights = 0;
  for (std::size_t i = 0; i <= last; ++i) {
    const bool end = i == 0 || i == last;
    const double weight = simpson ? (end ? 1 : i % 2 == 1 ? 4 : 2) : (end ? 1 : 2);
    sum += weight * values[i];
    weights += weight;
  }
  return sum / weights;
}

/// The wheel from full droop to full bump: energy of the springs, and mean friction.
struct Absorbed {
  double energy_n_mm = 0, friction_n = 0;
};

Absorbed absorbed_from(const Travel& travel, const Eigen::VectorXd& droop, const Friction& friction) {
  std::vector<double> values;
  sample_travel(travel.held, travel.held_wheel, droop, travel.bump, count(travel.curve.points),
                [&](const WheelFollower& follower) {
                  values.push_back(friction_n(friction, joint_loads(travel.held.mechanism, follower.path.here.q,
                                                                    tie_forces(follower), follower.path.here.heading)));
                });
  return {springs_energy(travel.held.mechanism, travel.bump.q) - springs_energy(travel.held.mechanism, droop),
          mean_of(values)};
}

/// The same where the curve begins at full droop.
Absorbed absorbed_over_curve(const Travel& travel) {
  const Mechanism& mechanism = travel.held.mechanism;
  std::vector<double> values;
  for (const CurvePoint& point : travel.curve.points) values.push_back(point.friction_n);
  return {springs_energy(mechanism, travel.bump.q) - springs_energy(mechanism, travel.low), mean_of(values)};
}

/// Where it is as low as full droop: with other wheels held where they rest its travel may begin lower.
Eigen::VectorXd at_full_droop(const Travel& travel) {
  const auto& points = travel.curve.points;
  const auto above = std::find_if(points.begin(), points.end(), [](const CurvePoint& p) { return p.travel_mm >= 0; });
  if (above == points.begin() || above == points.end()) return travel.low;
  Eigen::VectorXd q = coordinates_of(at(travel.curve.poses, above - points.begin()));
  return place_wheel(travel.held, travel.held_wheel, travel.droop_height_mm, q) ? q : travel.low;
}

}  // namespace

double set_down_height_mm(const Travel& travel, double load_n, const Friction& friction) {
  const double T = travel.bump.height_mm - travel.droop_height_mm;
  const bool whole = std::abs(travel.curve.points.front().travel_mm) < above_rest_mm;
  const auto [U, f] = whole ? absorbed_over_curve(travel) : absorbed_from(travel, at_full_droop(travel), friction);
  return (U + f * T) / load_n - T;
}

}  // namespace ridepitch
