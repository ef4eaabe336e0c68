#include "ride/rested.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include <fmt/format.h>

#include "linkage/closure.hpp"
#include "linkage/dense.hpp"
#include "model/index.hpp"
#include "model/units.hpp"
#include "ride/as_built.hpp"
#include "ride/hold.hpp"
#include "ride/joint_loads.hpp"
#include "ride/pose.hpp"
#include "ride/wheel_path.hpp"
#include "ride/wheel_state.hpp"

namespace ridepitch {
namespace {

double series(double rate, const std::optional<double>& tyre_rate) {
  return tyre_rate ? rate * *tyre_rate / (rate + *tyre_rate) : rate;
}

// What a linkage carries; 0 where that is no more than rounding of what stands on the ground.
double told_load(const WheelResult& wheel) {
  constexpr double rounding_share = 1e-9;
  return *wheel.load_n > rounding_share * *wheel.ground_load_n ? *wheel.load_n : 0;
}

// sqrt(rate / (load / g)) / 2 pi; rate in N/mm is 1000 N/m
std::optional<double> wheel_frequency(double rate, const WheelResult& wheel, const std::optional<double>& tyre_rate) {
  const double load = told_load(wheel);
  if (!(load > 0) || !(rate > 0)) return std::nullopt;
  const double square = 1000 * series(rate, tyre_rate) / (load / gravity_m_per_s2);
  if (!(square > 0)) return std::nullopt;
  return std::sqrt(square) / (2 * std::numbers::pi);
}

SpringResult spring_result(const Mechanism& mechanism, std::size_t i, const Eigen::VectorXd& q,
                           const std::vector<Turn>& turns) {
  const SpringElement& element = mechanism.springs[i];
  SpringResult out;
  out.name = mechanism.linkage->springs[i].name;
  const double reading = read(element.gauge, q, turns).value;
  const double push = element_force(element, reading).push_n;
  if (element.turns) {
    out.angle_deg = reading * deg_per_rad;
    out.torque_n_mm = push;
  } else {
    out.length_mm = reading;
    out.force_n = std::abs(push);
    out.total_force_n = element.count * std::abs(push);
  }
  return out;
}

// Loads, state and place of a wheel: what exists for every wheel, on whatever linkage.
WheelResult wheel_at_rest(const RestedVehicle& rested, std::size_t m, std::size_t i, const std::vector<int>& active,
                          bool independent) {
  const Member& member = rested.vehicle.system.members[m];
  const Mechanism& mechanism = *member.mechanism;
  const Tread& tread = member.treads[i];
  const Eigen::VectorXd& q = rested.rest.state.q[m];
  WheelResult out;
  out.name = mechanism.linkage->wheels[i].name;
  out.centre_C_mm = wheel_centre(mechanism, static_cast<int>(i), q);
  out.contact_mm = levelled(rested.rest.state, wheel_point(member, member.treads[i], out.centre_C_mm));
  const double ground = ground_load(rested.vehicle.system, rested.rest, m, i);
  out.contact_mm.z() -= loaded_radius_mm(tread, ground);
  const bool touches = carries(rested.vehicle.system, rested.rest, m, i);
  out.ground_load_n = touches ? ground : 0;
  out.load_n = touches ? ground - tread.weight_n * rested.vehicle.system.slope.cos : 0;
  if (!rested.vehicle.system.on_ground) out.load_n = tread.push_n;
  if (mechanism.wheels[i].fixed) {
    out.state = touches ? WheelState::fixed : WheelState::lifted;
    return out;
  }
  const Droop& droop = at(rested.vehicle.droops, rested.vehicle.linkage_of[m]);
  out.travel_mm = without_rounding(out.centre_C_mm.y() - droop.height_mm[i]);
  out.sag_mm = out.travel_mm;
  out.droop_travel_mm = out.travel_mm;
  out.droop_end = droop.end[i];
  const auto blocked_by = [&](const std::vector<int>& stops) { return blocked(mechanism, q, stops, i, independent); };
  const Blocked stop = blocked_by(active);
  if (!touches)
    out.state = WheelState::lifted;
  else if (stop == Blocked::above)
    out.state = WheelState::bottomed;
  else if (stop == Blocked::below || blocked_by(met_stops(rested.rest, m)) == Blocked::below)
    out.state = WheelState::topped;  // on its stop, even where that carries nothing
  return out;
}

void add_bump(const Travel& travel, const Eigen::VectorXd& q, const Friction& friction, WheelResult& wheel) {
  wheel.bump_end = travel.bump.name;
  wheel.bump_end_links = travel.bump.links;
  if (travel.bump.name.empty()) return;  // nothing ends it
  wheel.bump_total_mm = travel.bump.height_mm - travel.droop_height_mm;
  wheel.bump_travel_mm = without_rounding(travel.bump.height_mm - wheel.centre_C_mm.y());
  wheel.bump_load_n = bump_load(travel, q, wheel.centre_C_mm.y());
  if (!wheel.bump_load_n || !(told_load(wheel) > 0)) return;
  wheel.reserve = *wheel.bump_load_n / *wheel.load_n;
  if (travel.bump.name != "dead point") wheel.set_down_height_mm = set_down_height_mm(travel, *wheel.load_n, friction);
}

// A linkage that rests alike at two corners has one travel: that far apart, paths and numbers differ by rounding only.
constexpr double same_rest = 1e-10;  // mm or rad

/// Good until the next call.
const Travel& travel_of_wheel(const RestedVehicle& rested, std::size_t m, int wheel,
                              std::vector<TravelFromRest>& followed) {
  const std::vector<int>& linkage_of = rested.vehicle.linkage_of;
  const std::vector<Eigen::VectorXd>& q = rested.rest.state.q;
  for (const TravelFromRest& each : followed)
    if (each.wheel == wheel && linkage_of[each.member] == linkage_of[m] &&
        (q[each.member] - q[m]).lpNorm<Eigen::Infinity>() < same_rest)
      return each.travel;
  const Droop& droop = at(rested.vehicle.droops, linkage_of[m]);
  const Mechanism& mechanism = *rested.vehicle.system.members[m].mechanism;
  followed.push_back(
      {m, wheel, travel_from_rest(mechanism, droop, q[m], wheel, rested.curve_points, rested.model.friction)});
  return followed.back().travel;
}

struct MemberForces {
  std::vector<RodResult> rods;
  std::vector<PinResult> pins;
};

/// From the multipliers of the ties: the rod's is its compression, a pin's two the force on each body there.
/// @param g  [coordinates] gradient of everything but the ties, at q
MemberForces member_forces(const Mechanism& mechanism, const Eigen::VectorXd& q, const Eigen::VectorXd& g) {
  const Linkage& linkage = *mechanism.linkage;
  Eigen::VectorXd lambda = Eigen::VectorXd::Zero(static_cast<Eigen::Index>(mechanism.ties.size()));
  if (mechanism.bodies > 0) lambda = tie_forces(mechanism, linearised(mechanism, q), g);
  MemberForces out;
  for (const Rod& rod : linkage.rods) out.rods.push_back({rod.name, 0});
  for (std::size_t k = 0; k < mechanism.ties.size(); ++k)
    if (mechanism.ties[k].of == Tie::Of::rod)
      at(out.rods, mechanism.ties[k].index).force_n = lambda[static_cast<Eigen::Index>(k)];
  const std::vector<std::vector<Vec2>> on_pins = pin_forces(mechanism, lambda);
  for (std::size_t p = 0; p < linkage.pins.size(); ++p) {
    PinResult& pin = out.pins.emplace_back(PinResult{.name = linkage.pins[p].name, .force_n = 0, .forces = {}});
    for (std::size_t h = 0; h < on_pins[p].size(); ++h) {
      pin.forces.push_back({at(linkage.bodies, linkage.pins[p].holes[h].body).name, on_pins[p][h]});
      pin.force_n = std::max(pin.force_n, on_pins[p][h].norm());
    }
  }
  return out;
}

// What every corner has, whatever it carries. @param g  of the energy of everything but the ties
void add_parts(const Mechanism& mechanism, const Eigen::VectorXd& q, const Eigen::VectorXd& g, CornerResult& out) {
  const std::vector<Turn> turns = turns_at(q);
  for (std::size_t i = 0; i < mechanism.linkage->springs.size(); ++i)
    out.springs.push_back(spring_result(mechanism, i, q, turns));
  MemberForces forces = member_forces(mechanism, q, g);
  out.rods = std::move(forces.rods);
  out.pins = std::move(forces.pins);
  out.poses = body_poses(q);
}

HeldRates rates_at_rest(const Mechanism& mechanism, const Eigen::VectorXd& q, const std::vector<int>& active,
                        CornerResult& out) {
  const HeldMechanism held = hold_wheels(mechanism, q);
  HeldWorkspace workspace;
  prepare(held, workspace);
  const bool riding = std::all_of(held.wheels.begin(), held.wheels.end(),
                                  [&](int w) { return at(out.wheels, w).state == WheelState::riding; });
  HeldRates rates;
  held_rates(held, q, riding ? active : std::vector<int>{}, workspace, rates);
  if (!rates_told(mechanism, rates)) return rates;
  for (Eigen::Index r = 0; r < rates.rate_n_per_mm.rows(); ++r)
    for (Eigen::Index c = 0; c < rates.rate_n_per_mm.cols(); ++c)
      out.wheel_rate_matrix_n_per_mm.push_back(rates.rate_n_per_mm(r, c));
  return rates;
}

// Of every spring to a wheel, none where the wheel can't rise alone. @param motion  of the linkage, for each mm of rise
void add_motion_ratios(const Mechanism& mechanism, const Eigen::VectorXd& q,
                       const std::optional<Eigen::VectorXd>& motion, WheelResult& wheel, CornerResult& out) {
  constexpr double no_ratio = 1e-9;  // a spring that the wheel does not work
  const std::vector<Turn> turns = turns_at(q);
  for (std::size_t s = 0; s < mechanism.linkage->springs.size(); ++s) {
    const SpringElement& element = mechanism.springs[s];
    std::optional<double> ratio;
    if (motion && !element.turns) ratio = motion_ratio(element, q, turns, *motion);
    out.springs[s].motion_ratio.emplace_back(wheel.name, ratio);
    if (ratio && !wheel.motion_ratio && std::abs(*ratio) > no_ratio) wheel.motion_ratio = ratio;
  }
}

// Where the travel of a wheel ends, its margins and its curve.
void add_travel(const RestedVehicle& rested, std::size_t m, std::size_t i, std::vector<TravelFromRest>& followed,
                CornerResult& out, std::vector<Curve>& curves) {
  const Vehicle& vehicle = rested.vehicle;
  const LinkageTravel& travel_of = at(rested.travels, vehicle.linkage_of[m]);
  const Eigen::VectorXd& q = rested.rest.state.q[m];
  WheelResult& wheel = out.wheels[i];
  const bool from_droop = travel_of.alone && on_path(*travel_of.alone, q, wheel.centre_C_mm.y());
  const Travel& travel = from_droop ? *travel_of.alone : travel_of_wheel(rested, m, static_cast<int>(i), followed);
  add_bump(travel, q, rested.model.friction, wheel);
  if (travel_of.alone) {
    // Past a dead point the path from droop is another one; past a stop that an inner freedom met it goes on.
    const bool several = vehicle.system.members[m].mechanism->freedoms() > 1;
    const Margins& margins = several ? travel.margins : travel_of.alone->margins;
    if (margins.toggle_rad) out.toggle_margin_deg = *margins.toggle_rad * deg_per_rad;
    if (margins.coil_rad) out.coil_margin_deg = *margins.coil_rad * deg_per_rad;
  }
  curves.push_back(travel.curve);
  curves.back().corner = vehicle.corner_of[m];
  curves.back().wheel = static_cast<int>(i);
}

CornerResult sprung_corner(const RestedVehicle& rested, std::size_t m, std::vector<TravelFromRest>& followed,
                           std::vector<Curve>& curves, std::vector<WheelRef>& dead) {
  const Vehicle& vehicle = rested.vehicle;
  const Member& member = vehicle.system.members[m];
  const Mechanism& mechanism = *member.mechanism;
  const Eigen::VectorXd& q = rested.rest.state.q[m];
  CornerResult out;
  out.name = at(rested.model.corners, vehicle.corner_of[m]).name;
  out.ride_height_mm = ride_height_mm(rested, rested.rest, static_cast<std::size_t>(vehicle.corner_of[m]));
  const std::vector<int> active = active_stops(rested.rest, m);
  const std::vector<int> movers = moving_wheels(mechanism);
  const bool independent = at(rested.travels, vehicle.linkage_of[m]).independent && wheels_independent(mechanism, q);
  for (std::size_t i = 0; i < mechanism.wheels.size(); ++i)
    out.wheels.push_back(wheel_at_rest(rested, m, i, active, independent));
  add_parts(mechanism, q, rested.rest.work.members[m].g, out);
  HeldRates rates;
  if (independent && !movers.empty()) rates = rates_at_rest(mechanism, q, active, out);
  const bool told = independent && rates_told(mechanism, rates);
  for (const int wheel : movers)
    if ((independent && !told) || at_dead_point(mechanism, q, wheel)) dead.push_back({vehicle.corner_of[m], wheel});
  for (std::size_t i = 0; i < out.wheels.size(); ++i) {
    WheelResult& wheel = out.wheels[i];
    const auto found = std::find(movers.begin(), movers.end(), static_cast<int>(i));
    const bool rated = told && found != movers.end();
    const auto k = static_cast<Eigen::Index>(found - movers.begin());
    add_motion_ratios(mechanism, q, rated ? std::optional<Eigen::VectorXd>(rates.motion.col(k)) : std::nullopt, wheel,
                      out);
    if (!rated) continue;
    wheel.wheel_rate_n_per_mm = rates.rate_n_per_mm(k, k);
    wheel.frequency_hz = wheel_frequency(*wheel.wheel_rate_n_per_mm, wheel, member.treads[i].tyre_rate_n_per_mm);
    add_travel(rested, m, i, followed, out, curves);
  }
  add_as_built(rested, m, told ? rates.motion : Eigen::MatrixXd{}, out);
  add_paths(rested, m, told ? rates.motion : Eigen::MatrixXd{}, out, curves);
  return out;
}

// A steered linkage carries nothing: it is shown as assembled, its drive at 0.
CornerResult top_corner(const RestedVehicle& rested, std::size_t c) {
  const Corner& corner = rested.model.corners[c];
  const Assembly& assembly = at(rested.vehicle.assemblies, corner.linkage);
  CornerResult out;
  out.name = corner.name;
  out.ride_height_mm = ride_height_mm(rested, rested.rest, c);
  for (int i = 0; i < count(assembly.mechanism.wheels); ++i) {
    WheelResult wheel;
    wheel.name = at(assembly.mechanism.linkage->wheels, i).name;
    wheel.centre_C_mm = wheel_centre(assembly.mechanism, i, assembly.q);
    wheel.state = WheelState::fixed;
    out.wheels.push_back(wheel);
  }
  add_parts(assembly.mechanism, assembly.q, Eigen::VectorXd::Zero(assembly.q.size()), out);
  return out;
}

void add_mobility(const Assembly& assembly, CornerResult& corner) {
  corner.freedoms = assembly.mechanism.freedoms();
  corner.freedoms_by_count = assembly.counted_freedoms;
  if (!assembly.redundant.empty())
    corner.mobility_note =
        fmt::format("counting joints gives {} freedom(s), it has {}: redundant are {}", assembly.counted_freedoms,
                    assembly.mechanism.freedoms(), fmt::join(assembly.redundant, ", "));
}

}  // namespace

CornerResult corner_result(const RestedVehicle& rested, std::size_t corner, std::vector<TravelFromRest>& followed,
                           std::vector<Curve>& curves, std::vector<WheelRef>& dead) {
  const int m = rested.vehicle.member_of[corner];
  const Corner& placed = rested.model.corners[corner];
  CornerResult out =
      m < 0 ? top_corner(rested, corner) : sprung_corner(rested, static_cast<std::size_t>(m), followed, curves, dead);
  add_mobility(at(rested.vehicle.assemblies, placed.linkage), out);
  return out;
}

}  // namespace ridepitch
