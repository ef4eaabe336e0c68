#include "ride/rested.hpp"

#include <algorithm>
#include <cmath>
#include <functional>

#include "model/units.hpp"
#include "ride/slope.hpp"
#include "ride/wheel_state.hpp"

namespace ridepitch {
namespace {

constexpr double tolerance_mm = 0.001;
constexpr double tolerance_deg = 0.001;
constexpr double ground_step_mm = 2.0;  // of the ground under one wheel, while all is well
constexpr double tilt_step_deg = 2.0;
constexpr double longest_step = 4;  // times that, once some went well
constexpr double steepest_deg = 89.0;
constexpr double same_grip = 1e-7;  // far under what the tolerances can tell

// A wheel on the ground, by member and wheel of the system.
struct Stand {
  std::size_t member = 0, wheel = 0;
  std::string name;
};

// Those that carry at a rest.
std::vector<Stand> carrying_wheels(const Model& model, const Vehicle& vehicle, const System& system, const Rest& rest) {
  std::vector<Stand> carrying;
  for (std::size_t m = 0; m < system.members.size(); ++m)
    for (std::size_t i = 0; i < system.members[m].treads.size(); ++i)
      if (carries(system, rest, m, i)) carrying.push_back({m, i, wheel_name(model, vehicle, m, i)});
  return carrying;
}

// ------------------------------------------------------------------------------- how far it goes

// What a changed ground does: whether it still stands, and which of the wheels that carried have come off.
struct Probe {
  std::optional<Rest> rest = {};
  std::vector<std::string> lifted = {};
};

// The last amount at which it stands on all those wheels, and what is beyond; none if that is so up to the limit.
struct Edge {
  double amount = 0;
  Rest at;
  std::optional<Probe> beyond = {};
};

using Look = std::function<Probe(double amount, const Rest& from)>;

// Up from an amount at which all is well in steps, and the last step halved.
Edge find_edge(Edge from, double step, double limit, double tolerance, const Look& look) {
  double width = step;
  while (from.beyond ? width > tolerance : from.amount < limit) {
    if (from.beyond) width /= 2;
    const double amount = std::min(from.amount + width, limit);
    Probe probe = look(amount, from.at);
    if (probe.rest && probe.lifted.empty()) {
      from.amount = amount;
      from.at = *probe.rest;
      if (!from.beyond) width = std::min(2 * width, longest_step * step);
    } else {
      width = amount - from.amount;
      from.beyond = std::move(probe);
    }
  }
  return from;
}

Probe settle_at(System& system, const Rest& from, const std::vector<Stand>& carrying) {
  Probe probe{.rest = follow_rest_gripping(system, from, same_grip)};
  if (!probe.rest) return probe;
  for (const Stand& stand : carrying)
    if (!carries(system, *probe.rest, stand.member, stand.wheel)) probe.lifted.push_back(stand.name);
  return probe;
}

double height_in_linkage(const System& system, const State& state, const Stand& stand) {
  return wheel_centre(*system.members[stand.member].mechanism, static_cast<int>(stand.wheel), state.q[stand.member])
      .y();
}

// The ground under one wheel goes up (+1) or down (-1), by a wheel's height at most.
GroundReach ground_reach(const RestedVehicle& rested, const std::vector<Stand>& carrying, const Stand& under,
                         int direction) {
  System system = rested.vehicle.system;
  Tread& tread = system.members[under.member].treads[under.wheel];
  const double ground_mm = tread.ground_mm;
  const Edge edge = find_edge({.at = rested.rest}, ground_step_mm, 2 * tread.radius_mm, tolerance_mm,
                              [&](double amount, const Rest& from) {
                                tread.ground_mm = ground_mm + direction * amount;
                                return settle_at(system, from, carrying);
                              });
  GroundReach reach{.height_mm = direction * edge.amount,
                    .travel_mm = height_in_linkage(system, edge.at.state, under) -
                                 height_in_linkage(system, rested.rest.state, under),
                    .lifted = {},
                    .tips = false};
  if (edge.beyond) {
    reach.lifted = edge.beyond->lifted;
    reach.tips = !edge.beyond->rest;
  }
  return reach;
}

TiltReach tilt_reach(const System& level_system, const Rest& level, const std::vector<Stand>& carrying, Toward toward) {
  System system = level_system;
  grip_as_loaded(level, system);
  const auto tilt_up_from = [&](const Edge& from, const std::vector<Stand>& kept_down) {
    return find_edge(from, tilt_step_deg, steepest_deg, tolerance_deg, [&](double degrees, const Rest& rest) {
      set_slope(degrees / deg_per_rad, toward, system);
      return settle_at(system, rest, kept_down);
    });
  };
  const Edge lift = tilt_up_from({.at = level}, carrying);
  const Edge tip = tilt_up_from({.amount = lift.amount, .at = lift.at}, {});
  TiltReach reach{.toward = toward_name(toward), .lift_deg = {}, .lifted = {}, .tip_deg = {}};
  if (lift.beyond && lift.beyond->rest) {
    reach.lift_deg = lift.amount;
    reach.lifted = lift.beyond->lifted;
  }
  if (tip.beyond) reach.tip_deg = tip.amount;
  return reach;
}

constexpr Toward all_sides[] = {Toward::left, Toward::right, Toward::front, Toward::rear};

}  // namespace

double steepest_tilt_deg(const System& level_system, const Rest& level, Toward toward) {
  return tilt_reach(level_system, level, {}, toward).tip_deg.value_or(steepest_deg);
}

FloorResult explore_floor(const RestedVehicle& rested, const Floor& floor) {
  const Vehicle& vehicle = rested.vehicle;
  FloorResult out;
  out.blocks = floor.blocks;
  out.slope_deg = floor.slope_rad * deg_per_rad;
  if (floor.slope_rad > 0) out.toward = toward_name(floor.toward);
  if (rested.model.friction.tyre_mu) out.slide_deg = std::atan(*rested.model.friction.tyre_mu) * deg_per_rad;
  if (!floor.explore) return out;
  out.tolerance_mm = tolerance_mm;
  out.tolerance_deg = tolerance_deg;
  const std::vector<Stand> carrying = carrying_wheels(rested.model, vehicle, vehicle.system, rested.rest);
  for (const Stand& stand : carrying)
    out.wheels.push_back(
        {stand.name, ground_reach(rested, carrying, stand, +1), ground_reach(rested, carrying, stand, -1)});

  System level_system = vehicle.system;
  set_slope(0, floor.toward, level_system);
  const std::optional<Rest> level = floor.slope_rad > 0 ? follow_rest(level_system, rested.rest) : rested.rest;
  if (level) {
    const std::vector<Stand> on_level = carrying_wheels(rested.model, vehicle, level_system, *level);
    for (const Toward toward : all_sides) out.tilts.push_back(tilt_reach(level_system, *level, on_level, toward));
  }
  return out;
}

}  // namespace ridepitch
