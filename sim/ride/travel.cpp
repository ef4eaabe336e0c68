#include "ride/travel.hpp"

#include <algorithm>
#include <cmath>

#include "ride/pose.hpp"
#include "ride/system.hpp"
#include "ride/wheel_path.hpp"

namespace ridepitch {
namespace {

constexpr double met_mm = 1e-9;

CurvePoint curve_point(const Mechanism& mechanism, const WayPoint& way, int wheel, double droop_height_mm) {
  CurvePoint point;
  std::vector<Turn> turns(static_cast<std::size_t>(mechanism.bodies));
  set_turns(way.q, turns);
  point.travel_mm = way.height_mm - droop_height_mm;
  point.load_n = way.load_n;
  point.wheel_rate_n_per_mm = way.rate_n_per_mm;
  point.centre_C_mm = position(mechanism.wheels[static_cast<std::size_t>(wheel)].at, way.q, turns);
  point.motion = wheel_motion(mechanism, wheel, way.q, way.motion);
  point.spring_length_mm.reserve(mechanism.springs.size());
  point.spring_force_n.reserve(mechanism.springs.size());
  point.spring_motion_ratio.reserve(mechanism.springs.size());
  for (const SpringElement& spring : mechanism.springs) {
    const GaugeReading reading = read(spring.gauge, way.q, turns);
    const double ratio = -slope_along(spring.gauge, reading, way.motion);
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

// The least margin between two points of a curve, by golden section: the samples only bracket it.
void refine(const Travel& travel, const Eigen::VectorXd& q_low, double low, double high,
            std::optional<double> Margins::*which, std::optional<double>& least) {
  Follower follower = follow(travel.held, travel.held_wheel, q_low);
  WayPoint way;
  const auto at = [&](double height) {
    if (!advance(follower, height)) return 1e300;
    read_off(follower, way);
    const auto value = margins_at(travel.held.mechanism, way.q, way.motion).*which;
    take_least(value, least);
    return value.value_or(1e300);
  };
  constexpr double golden = 0.6180339887498949;
  double a = low, b = high, x = b - golden * (b - a), y = a + golden * (b - a);
  double fx = at(x), fy = at(y);
  for (int i = 0; i < 40 && b - a > 1e-7 * (1 + std::abs(b)); ++i) {
    if (fx < fy) {
      b = y;
      y = x;
      fy = fx;
      fx = at(x = b - golden * (b - a));
    } else {
      a = x;
      x = y;
      fx = fy;
      fy = at(y = a + golden * (b - a));
    }
  }
}

// A rod between two moving bodies that goes straight with one of them stands square to the path of its end.
bool a_rod_went_straight(const Mechanism& mechanism, const std::vector<std::string>& links) {
  return std::any_of(mechanism.ties.begin(), mechanism.ties.end(), [&](const Tie& tie) {
    return tie.of == Tie::Of::rod && tie.gauge.p.body != ground && tie.gauge.q.body != ground &&
           std::find(links.begin(), links.end(), mechanism.linkage->rods[static_cast<std::size_t>(tie.index)].name) !=
               links.end();
  });
}

void sweep_curve(Travel& travel, int wheel, int points, bool want_margins) {
  const Mechanism& mechanism = travel.held.mechanism;
  std::vector<Margins> margins;
  std::vector<Eigen::VectorXd> configurations;
  std::vector<double> heights;
  std::vector<EndMargin> before, now;
  walk_way(travel.held, travel.held_wheel, travel.low, travel.bump, points, [&](const WayPoint& way) {
    travel.curve.points.push_back(curve_point(mechanism, way, wheel, travel.droop_height_mm));
    travel.curve.poses.push_back(moving_poses(way.q));
    if (!want_margins) return;
    margins.push_back(way.finite ? margins_at(mechanism, way.q, way.motion, &now) : Margins{});
    if (way.finite) take_square(before, now, margins.back());
    std::swap(before, now);
    configurations.push_back(way.q);
    heights.push_back(way.height_mm);
  });
  if (!want_margins) return;
  if (travel.bump.name == "dead point" && !margins.empty() && a_rod_went_straight(mechanism, travel.bump.links))
    margins.back().toggle_rad = 0;
  for (const auto which : {&Margins::toggle_rad, &Margins::coil_rad}) {
    std::size_t best = 0;
    for (std::size_t i = 0; i < margins.size(); ++i) {
      take_least(margins[i].*which, travel.margins.*which);
      if (margins[i].*which && (!(margins[best].*which) || *(margins[i].*which) < *(margins[best].*which))) best = i;
    }
    if (best > 0 && best + 1 < margins.size() && margins[best].*which)
      refine(travel, configurations[best - 1], heights[best - 1], heights[best + 1], which, travel.margins.*which);
  }
}

Eigen::VectorXd coordinates_of(const std::vector<Pose>& poses) {
  Eigen::VectorXd q(3 * static_cast<Eigen::Index>(poses.size()));
  for (std::size_t b = 0; b < poses.size(); ++b)
    q.segment<3>(3 * static_cast<Eigen::Index>(b)) << poses[b].p_CB, poses[b].theta_rad;
  return q;
}

// Towards a dead point springs are worked ever faster: like 1/sqrt(distance), so that the load rises without bound
// unless nothing pushes there. A load with a bound hardly changes over the last millionth of the way.
bool grows_without_bound(const Travel& travel) {
  if (travel.bump.name != "dead point" || travel.curve.poses.size() < 3) return false;
  Eigen::VectorXd q = coordinates_of(travel.curve.poses[travel.curve.poses.size() - 2]);
  const double reach = travel.bump.height_mm - travel.droop_height_mm;
  const auto load_short_of_it = [&](double share) {
    if (!place_wheel(travel.held, travel.held_wheel, travel.bump.height_mm - share * reach, q)) return 1e300;
    Follower follower = follow(travel.held, travel.held_wheel, q);
    WayPoint way;
    read_off(follower, way);
    return way.load_n;
  };
  const double far = load_short_of_it(1e-6), near = load_short_of_it(1e-8);
  return near > far + 0.05 * (std::abs(far) + 1e-6);
}

struct RateAt {
  double height_mm = 0, rate_n_per_mm = 0;
};

// Greatest load between two heights whose wheel rates have opposite signs: false position, kept inside by bisection.
double top_of_load(const Travel& travel, const Eigen::VectorXd& q_low, RateAt low, RateAt high) {
  Follower seeker = follow(travel.held, travel.held_wheel, q_low);
  WayPoint at;
  double top = -1e300;
  for (int i = 0; i < 60 && high.height_mm - low.height_mm > 1e-10; ++i) {
    const double span = high.height_mm - low.height_mm;
    const double middle =
        low.height_mm + span * (i % 3 == 2 ? 0.5 : low.rate_n_per_mm / (low.rate_n_per_mm - high.rate_n_per_mm));
    if (!advance(seeker, middle)) break;
    read_off(seeker, at);
    top = std::max(top, at.load_n);
    (at.rate_n_per_mm > 0 ? low : high) = {middle, at.rate_n_per_mm};
  }
  return top;
}

}  // namespace

Travel travel_alone(const Mechanism& mechanism, const Droop& droop, int points) {
  Travel travel;
  travel.held = hold_wheels(mechanism, droop.q);
  travel.held_wheel = 0;
  const int wheel = travel.held.wheels[0];
  travel.droop_height_mm = droop.height_mm[static_cast<std::size_t>(wheel)];
  travel.low = droop.q;
  travel.bump = sweep_to_end(travel.held, 0, droop.q, +1);
  sweep_curve(travel, wheel, points, true);
  travel.unbounded_load = grows_without_bound(travel);
  return travel;
}

Travel travel_from_rest(const Mechanism& mechanism, const Droop& droop, const Eigen::VectorXd& rest, int wheel,
                        int points) {
  Travel travel;
  travel.held = hold_wheels(mechanism, rest);
  travel.held_wheel = static_cast<int>(std::find(travel.held.wheels.begin(), travel.held.wheels.end(), wheel) -
                                       travel.held.wheels.begin());
  travel.droop_height_mm = droop.height_mm[static_cast<std::size_t>(wheel)];
  const SweepEnd low = sweep_to_end(travel.held, travel.held_wheel, rest, -1);
  // Alone, a wheel that comes down to its droop is there: the sweep's own end is only as sharp as its inner freedoms'.
  const bool at_droop = travel.held.wheels.size() == 1 && std::abs(low.height_mm - travel.droop_height_mm) < 1e-3;
  travel.low = at_droop ? droop.q : low.q;
  travel.bump = sweep_to_end(travel.held, travel.held_wheel, rest, +1);
  sweep_curve(travel, wheel, points, travel.held.wheels.size() == 1);
  travel.unbounded_load = grows_without_bound(travel);
  return travel;
}

bool on_the_way(const Travel& travel, const Eigen::VectorXd& q, double height_mm) {
  const auto& points = travel.curve.points;
  const auto after =
      std::lower_bound(points.begin(), points.end(), height_mm - travel.droop_height_mm,
                       [](const CurvePoint& point, double travel_mm) { return point.travel_mm < travel_mm; });
  if (after == points.begin() || points.size() < 2) return true;  // at droop or under it
  const std::size_t i = std::min<std::size_t>(static_cast<std::size_t>(after - points.begin()), points.size() - 1);
  const Eigen::VectorXd low = coordinates_of(travel.curve.poses[i - 1]), high = coordinates_of(travel.curve.poses[i]);
  const Mechanism& mechanism = travel.held.mechanism;
  if (distance_mm(mechanism, q, low) > 2 * distance_mm(mechanism, high, low) + 1e-6) return false;
  // So near to a dead point both its sides are near by; the sense of the ties tells them apart.
  Closure room;
  prepare(travel.held.mechanism, room);
  if (room.J.rows() != room.J.cols()) return true;
  linearise(travel.held.mechanism, low, room);
  const double side = room.part.det_sign;
  linearise(travel.held.mechanism, q, room);
  return room.part.det_sign == side;
}

std::optional<double> bump_load(const Travel& travel, const Eigen::VectorXd& rest, double rest_height_mm) {
  if (travel.unbounded_load || travel.bump.name.empty()) return std::nullopt;
  Follower at_rest = follow(travel.held, travel.held_wheel, rest);
  WayPoint way;
  read_off(at_rest, way);
  double greatest = way.load_n;
  // From each place to the next; where the load turns down between them, its top lies where the wheel rate is 0.
  Eigen::VectorXd q_before = rest;
  double height_before = way.height_mm, rate_before = way.rate_n_per_mm;
  for (std::size_t i = 0; i < travel.curve.points.size(); ++i) {
    const CurvePoint& point = travel.curve.points[i];
    const double height = point.travel_mm + travel.droop_height_mm;
    if (height <= rest_height_mm + met_mm) continue;
    greatest = std::max(greatest, point.load_n);
    if (rate_before > 0 && point.wheel_rate_n_per_mm < 0)
      greatest = std::max(
          greatest, top_of_load(travel, q_before, {height_before, rate_before}, {height, point.wheel_rate_n_per_mm}));
    q_before = coordinates_of(travel.curve.poses[i]);
    height_before = height;
    rate_before = point.wheel_rate_n_per_mm;
  }
  return greatest;
}

}  // namespace ridepitch
