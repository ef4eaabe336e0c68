#include "ride/solve.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <numbers>

#include <fmt/format.h>

#include "linkage/dense.hpp"
#include "ride/findings.hpp"
#include "ride/hold.hpp"
#include "ride/lower.hpp"
#include "ride/margins.hpp"
#include "ride/member_forces.hpp"
#include "ride/modes.hpp"
#include "ride/travel.hpp"
#include "ride/vehicle.hpp"
#include "ride/weighing.hpp"

namespace ridepitch {
namespace {

constexpr double to_deg = 180 / std::numbers::pi;
constexpr double met_mm = 1e-7;
constexpr int steps_where_loads_rise = 4;    // of the growing weight
constexpr int steps_where_it_may_snap = 64;

// What a solve knows of a linkage beside its assembly: the travel that corners with one wheel share.
struct Shared {
  bool independent = false;            // every moving wheel can rise by itself
  std::optional<Travel> alone;         // of a linkage with one moving wheel
};

std::vector<Shared> share_travels(const Model& model, const Vehicle& vehicle, int points) {
  std::vector<Shared> shared(model.linkages.size());
  for (std::size_t i = 0; i < model.linkages.size(); ++i) {
    const bool used = std::find(vehicle.linkage_of.begin(), vehicle.linkage_of.end(), static_cast<int>(i)) != vehicle.linkage_of.end();
    if (!used) continue;
    const Mechanism& mechanism = vehicle.assemblies[i].mechanism;
    shared[i].independent = wheels_independent(mechanism, vehicle.droops[i].q);
    if (shared[i].independent && moving_wheels(mechanism).size() == 1)
      shared[i].alone = travel_alone(mechanism, vehicle.droops[i], points);
  }
  return shared;
}

int lowering_steps(const Vehicle& vehicle, const std::vector<Shared>& shared) {
  for (const int linkage : vehicle.linkage_of) {
    const Shared& one = shared[static_cast<std::size_t>(linkage)];
    if (!one.alone) {
      if (!moving_wheels(vehicle.assemblies[static_cast<std::size_t>(linkage)].mechanism).empty()) return steps_where_it_may_snap;
      continue;
    }
    for (const CurvePoint& point : one.alone->curve.points)
      if (point.wheel_rate_n_per_mm <= 0) return steps_where_it_may_snap;
  }
  return steps_where_loads_rise;
}

// ------------------------------------------------------------------------------------ wheels

// Contact force of a wheel at rest, world vertical.
double ground_load(const System& system, const Rest& rest, std::size_t m, std::size_t wheel) {
  const Member& member = system.members[m];
  const Tread& tread = member.treads[wheel];
  if (!system.on_ground) return tread.push_n + tread.weight_n;
  if (tread.tyre_rate_n_per_mm) {
    const Vec2 centre = wheel_centre(*member.mechanism, static_cast<int>(wheel), rest.state.q[m]);
    const double sunk = tread.radius_mm - height_of(rest.state, wheel_point(member, centre));
    return std::max(0.0, sunk * *tread.tyre_rate_n_per_mm);
  }
  for (std::size_t b = 0; b < rest.work.bounds.size(); ++b) {
    const Bound& bound = rest.work.bounds[b];
    if (bound.contact && bound.member == static_cast<int>(m) && bound.index == static_cast<int>(wheel))
      return std::max(0.0, rest.work.bound[b].force);
  }
  return 0;
}

// Stops of a member that carry at rest, as indices into its mechanism's.
std::vector<int> carrying_stops(const Rest& rest, std::size_t m) {
  std::vector<int> stops;
  for (std::size_t b = 0; b < rest.work.bounds.size(); ++b)
    if (!rest.work.bounds[b].contact && rest.work.bounds[b].member == static_cast<int>(m) && rest.work.bound[b].active &&
        rest.work.bound[b].force > 1e-9)
      stops.push_back(rest.work.bounds[b].index);
  return stops;
}

enum class Blocked { neither, below, above };

// Whether carrying stops keep a wheel from going down or up, the linkage's other wheels held.
Blocked blocked(const Mechanism& mechanism, const Eigen::VectorXd& q, const std::vector<int>& stops, std::size_t wheel, bool independent) {
  if (stops.empty()) return Blocked::neither;
  Closure room;
  prepare(mechanism, room);
  linearise(mechanism, q, room);
  Eigen::MatrixXd T;
  tangents(room.part, T);
  const auto slopes = [&](const Gauge& gauge, double side) {
    const Reading reading = read(gauge, q, room.turns);
    Eigen::RowVectorXd row(T.cols());
    for (Eigen::Index f = 0; f < T.cols(); ++f) row[f] = side * slope_along(gauge, reading, T.col(f));
    return row;
  };
  std::vector<Eigen::RowVectorXd> others;
  if (independent)
    for (std::size_t i = 0; i < mechanism.wheels.size(); ++i)
      if (i != wheel && !mechanism.wheels[i].fixed) others.push_back(slopes(mechanism.wheels[i].height, 1));
  Eigen::MatrixXd held(static_cast<Eigen::Index>(others.size()), T.cols());
  for (std::size_t i = 0; i < others.size(); ++i) held.row(static_cast<Eigen::Index>(i)) = others[i];
  const Eigen::MatrixXd free = null_space(held, 1e-9);
  Eigen::MatrixXd gaps(static_cast<Eigen::Index>(stops.size()), free.cols());
  for (std::size_t i = 0; i < stops.size(); ++i) {
    const Stop& stop = mechanism.stops[static_cast<std::size_t>(stops[i])];
    gaps.row(static_cast<Eigen::Index>(i)) = slopes(stop.gauge, stop.side) * free;
  }
  const Eigen::RowVectorXd rise = slopes(mechanism.wheels[wheel].height, 1) * free;
  // With every carrying stop kept met, can the wheel still rise and fall? Then they hold something else.
  const Eigen::MatrixXd kept = null_space(gaps, 1e-9);
  if (kept.cols() > 0 && (rise * kept).cwiseAbs().maxCoeff() > 1e-7 * (1e-9 + rise.cwiseAbs().maxCoeff())) return Blocked::neither;
  // A rise that opens the stops: they hold it from below.
  double opens = 0;
  const Eigen::VectorXd up = least_squares(rise, Eigen::VectorXd::Ones(1));
  for (Eigen::Index i = 0; i < gaps.rows(); ++i) opens += gaps.row(i) * up;
  if (opens == 0) return Blocked::neither;
  return opens > 0 ? Blocked::below : Blocked::above;
}

double series(double rate, const std::optional<double>& tyre_rate) {
  return tyre_rate ? rate * *tyre_rate / (rate + *tyre_rate) : rate;
}

// sqrt(rate / (load / g)) / 2 pi; rate in N/mm is 1000 N/m
std::optional<double> wheel_frequency(double rate, double load, const std::optional<double>& tyre_rate) {
  if (!(load > 0) || !(rate > 0)) return std::nullopt;
  const double square = 1000 * series(rate, tyre_rate) / (load / gravity_m_per_s2);
  if (!(square > 0)) return std::nullopt;
  return std::sqrt(square) / (2 * std::numbers::pi);
}

// Everything that solve() works on, so that its steps have one argument.
struct Solving {
  const Model& model;
  const SolveOptions& options;
  Vehicle vehicle;
  std::vector<Shared> shared;
  Rest rest;
};

SpringResult spring_result(const Mechanism& mechanism, std::size_t i, const Eigen::VectorXd& q, const std::vector<Turn>& turns) {
  const SpringElement& element = mechanism.springs[i];
  SpringResult out;
  out.name = mechanism.linkage->springs[i].name;
  const double reading = read(element.gauge, q, turns).value;
  const double push = element_force(element, reading).push_n;
  if (element.torsion) {
    out.angle_deg = reading * to_deg;
    out.torque_n_mm = push;
  } else {
    out.length_mm = reading;
    out.force_n = std::abs(push);
    out.total_force_n = element.count * std::abs(push);
  }
  return out;
}

// Loads, state and place of a wheel: what exists for every wheel, on whatever linkage.
WheelResult wheel_at_rest(const Solving& solving, std::size_t m, std::size_t i, const std::vector<int>& carrying, bool independent) {
  const Member& member = solving.vehicle.system.members[m];
  const Mechanism& mechanism = *member.mechanism;
  const Tread& tread = member.treads[i];
  const Eigen::VectorXd& q = solving.rest.state.q[m];
  WheelResult out;
  out.name = mechanism.linkage->wheels[i].name;
  out.centre_C_mm = wheel_centre(mechanism, static_cast<int>(i), q);
  out.contact_mm = levelled(solving.rest.state, wheel_point(member, out.centre_C_mm));
  const double ground = ground_load(solving.vehicle.system, solving.rest, m, i);
  out.contact_mm.z() -= loaded_radius_mm(tread, ground);
  const bool touches = !solving.vehicle.system.on_ground || ground > 1e-9 * solving.vehicle.system.weight_n;
  out.ground_load_n = touches ? ground : 0;
  out.load_n = touches ? ground - tread.weight_n : 0;
  if (!solving.vehicle.system.on_ground) out.load_n = tread.push_n;
  if (mechanism.wheels[i].fixed) {
    out.state = WheelState::fixed;
    return out;
  }
  const Droop& droop = solving.vehicle.droops[static_cast<std::size_t>(solving.vehicle.linkage_of[m])];
  out.travel_mm = out.centre_C_mm.y() - droop.height_mm[i];
  out.sag_mm = out.travel_mm;
  out.droop_travel_mm = out.travel_mm;
  out.droop_end = droop.end[i];
  const Blocked stop = blocked(mechanism, q, carrying, i, independent);
  out.state = !touches ? WheelState::lifted
              : stop == Blocked::below ? WheelState::topped
              : stop == Blocked::above ? WheelState::bottomed
                                       : WheelState::riding;
  return out;
}

void add_bump(const Travel& travel, const Eigen::VectorXd& q, WheelResult& wheel) {
  wheel.bump_end = travel.bump.name;
  wheel.bump_end_links = travel.bump.links;
  if (travel.bump.name.empty()) return;  // nothing ends it
  wheel.bump_total_mm = travel.bump.height_mm - travel.droop_height_mm;
  wheel.bump_travel_mm = travel.bump.height_mm - wheel.centre_C_mm.y();
  if (std::abs(*wheel.bump_travel_mm) < 1e-9) wheel.bump_travel_mm = 0;
  wheel.bump_load_n = bump_load(travel, q, wheel.centre_C_mm.y());
  if (wheel.bump_load_n && *wheel.load_n > 0) wheel.reserve = *wheel.bump_load_n / *wheel.load_n;
}

CornerResult solve_corner(Solving& solving, std::size_t m, std::vector<Curve>& curves) {
  const Vehicle& vehicle = solving.vehicle;
  const Member& member = vehicle.system.members[m];
  const Mechanism& mechanism = *member.mechanism;
  const auto linkage_index = static_cast<std::size_t>(vehicle.linkage_of[m]);
  const Linkage& linkage = *mechanism.linkage;
  const Corner& corner = solving.model.corners[static_cast<std::size_t>(vehicle.corner_of[m])];
  const Droop& droop = vehicle.droops[linkage_index];
  const Shared& shared = solving.shared[linkage_index];
  const Eigen::VectorXd& q = solving.rest.state.q[m];
  CornerResult out;
  out.name = corner.name;

  const std::vector<int> carrying = carrying_stops(solving.rest, m);
  const std::vector<int> movers = moving_wheels(mechanism);
  const bool independent = shared.independent && wheels_independent(mechanism, q);
  for (std::size_t i = 0; i < linkage.wheels.size(); ++i)
    out.wheels.push_back(wheel_at_rest(solving, m, i, carrying, independent));

  std::vector<Turn> turns(static_cast<std::size_t>(mechanism.bodies));
  set_turns(q, turns);
  for (std::size_t i = 0; i < linkage.springs.size(); ++i) out.springs.push_back(spring_result(mechanism, i, q, turns));

  HeldRates rates;
  if (independent && !movers.empty()) {
    const HeldMechanism held = hold_wheels(mechanism, q);
    HeldRoom room;
    prepare(held, room);
    const bool riding = std::all_of(out.wheels.begin(), out.wheels.end(), [](const WheelResult& w) {
      return w.state == WheelState::riding || w.state == WheelState::fixed;
    });
    held_rates(held, q, riding ? carrying : std::vector<int>{}, room, rates);
    for (Eigen::Index r = 0; r < rates.rate_n_per_mm.rows(); ++r)
      for (Eigen::Index c = 0; c < rates.rate_n_per_mm.cols(); ++c)
        out.wheel_rate_matrix_n_per_mm.push_back(rates.rate_n_per_mm(r, c));
  }
  for (std::size_t i = 0; i < linkage.wheels.size(); ++i) {
    WheelResult& wheel = out.wheels[i];
    const auto found = std::find(movers.begin(), movers.end(), static_cast<int>(i));
    const bool rated = independent && found != movers.end() && rates.finite;
    const auto k = static_cast<Eigen::Index>(found - movers.begin());
    for (std::size_t s = 0; s < linkage.springs.size(); ++s) {
      const SpringElement& element = mechanism.springs[s];
      std::optional<double> ratio;
      if (rated && !element.torsion) ratio = motion_ratio(element, q, turns, rates.motion.col(k));
      out.springs[s].motion_ratio.emplace_back(wheel.name, ratio);
      if (ratio && !wheel.motion_ratio && std::abs(*ratio) > 1e-9) wheel.motion_ratio = ratio;
    }
    if (!rated) continue;
    wheel.wheel_rate_n_per_mm = rates.rate_n_per_mm(k, k);
    wheel.frequency_hz = wheel_frequency(*wheel.wheel_rate_n_per_mm, *wheel.load_n, member.treads[i].tyre_rate_n_per_mm);
    Curve curve;
    if (shared.alone) {
      add_bump(*shared.alone, q, wheel);
      curve = shared.alone->curve;
      if (shared.alone->margins.toggle_rad) out.toggle_margin_deg = *shared.alone->margins.toggle_rad * to_deg;
      if (shared.alone->margins.coil_rad) out.coil_margin_deg = *shared.alone->margins.coil_rad * to_deg;
    } else {
      const Travel travel = travel_beside(mechanism, droop, q, static_cast<int>(i), solving.options.curve_points);
      add_bump(travel, q, wheel);
      curve = travel.curve;
    }
    curve.corner = vehicle.corner_of[m];
    curve.wheel = static_cast<int>(i);
    curves.push_back(std::move(curve));
  }

  const MemberForces forces = member_forces(mechanism, q, solving.rest.work.members[m].g);
  out.rods = forces.rods;
  out.pins = forces.pins;
  out.poses.push_back({});
  for (Eigen::Index b = 0; b < mechanism.bodies; ++b) out.poses.push_back({Vec2(q[3 * b], q[3 * b + 1]), q[3 * b + 2]});
  return out;
}

// A steered linkage carries nothing: it is shown as assembled, its drive at 0.
CornerResult top_corner(const Solving& solving, std::size_t c) {
  const Corner& corner = solving.model.corners[c];
  const Assembly& assembly = solving.vehicle.assemblies[static_cast<std::size_t>(corner.linkage)];
  CornerResult out;
  out.name = corner.name;
  std::vector<Turn> turns(static_cast<std::size_t>(assembly.mechanism.bodies));
  set_turns(assembly.q, turns);
  const Linkage& linkage = *assembly.mechanism.linkage;
  for (std::size_t i = 0; i < linkage.wheels.size(); ++i) {
    WheelResult wheel;
    wheel.name = linkage.wheels[i].name;
    wheel.centre_C_mm = wheel_centre(assembly.mechanism, static_cast<int>(i), assembly.q);
    wheel.state = WheelState::fixed;
    out.wheels.push_back(wheel);
  }
  for (std::size_t i = 0; i < linkage.springs.size(); ++i) out.springs.push_back(spring_result(assembly.mechanism, i, assembly.q, turns));
  const MemberForces forces = member_forces(assembly.mechanism, assembly.q, Eigen::VectorXd::Zero(assembly.q.size()));
  out.rods = forces.rods;
  out.pins = forces.pins;
  out.poses.push_back({});
  for (Eigen::Index b = 0; b < assembly.mechanism.bodies; ++b)
    out.poses.push_back({Vec2(assembly.q[3 * b], assembly.q[3 * b + 1]), assembly.q[3 * b + 2]});
  return out;
}

void add_mobility(const Assembly& assembly, CornerResult& corner) {
  corner.freedoms = assembly.mechanism.freedoms();
  corner.freedoms_by_count = assembly.counted_freedoms;
  if (assembly.redundant.empty()) return;
  std::string names;
  for (const std::string& name : assembly.redundant) names += (names.empty() ? "" : ", ") + name;
  corner.mobility_note = fmt::format("counting joints gives {} freedom(s), it has {}: redundant are {}", assembly.counted_freedoms,
                                     assembly.mechanism.freedoms(), names);
}

// In bench mode: the loaded radius less the wheel centre's height; none where wheels disagree.
std::optional<double> bench_ride_height(const Member& member, const CornerResult& corner) {
  std::optional<double> height;
  for (std::size_t i = 0; i < corner.wheels.size(); ++i) {
    const double here = loaded_radius_mm(member.treads[i], *corner.wheels[i].ground_load_n) - corner.wheels[i].centre_C_mm.y();
    if (height && std::abs(*height - here) > 1e-6) return std::nullopt;
    if (!height) height = here;
  }
  return height;
}

// ---------------------------------------------------------------------------- other stances

// Every wheel of the members chosen pushed up to its end.
State raised(const Vehicle& vehicle, const std::vector<Shared>& shared, const std::vector<bool>& up) {
  State state = vehicle.hanging;
  for (std::size_t m = 0; m < vehicle.system.members.size(); ++m) {
    if (!up[m]) continue;
    const auto linkage = static_cast<std::size_t>(vehicle.linkage_of[m]);
    if (shared[linkage].alone) {
      // A hair short of the end, so that a dead point is not started from.
      const auto& poses = shared[linkage].alone->curve.poses;
      const auto& at = poses[poses.size() - std::min<std::size_t>(poses.size(), 3)];
      for (std::size_t b = 0; b < at.size(); ++b)
        state.q[m].segment<3>(3 * static_cast<Eigen::Index>(b)) << at[b].p_CB, at[b].theta_rad;
      continue;
    }
    System alone;
    alone.on_ground = false;
    alone.members = {vehicle.system.members[m]};
    for (Tread& tread : alone.members[0].treads) tread.push_n = 10 * (vehicle.system.weight_n + 1);
    State one;
    one.q = {vehicle.hanging.q[m]};
    Work work;
    prepare(alone, work);
    descend(alone, 1, one, work);
    state.q[m] = one.q[0];
  }
  return state;
}

// Body laid on its wheels as they are: pitch by least squares, then as low as the lowest wheel allows.
void lay_on_wheels(const Vehicle& vehicle, State& state) {
  Eigen::MatrixXd A(0, 2);
  std::vector<Vec2> lows;
  for (std::size_t m = 0; m < vehicle.system.members.size(); ++m)
    for (std::size_t i = 0; i < vehicle.system.members[m].treads.size(); ++i) {
      const Vec3 p = wheel_point(vehicle.system.members[m], wheel_centre(*vehicle.system.members[m].mechanism, static_cast<int>(i), state.q[m]));
      lows.emplace_back(p.x(), p.z() - vehicle.system.members[m].treads[i].radius_mm);
    }
  A.resize(static_cast<Eigen::Index>(lows.size()), 2);
  Eigen::VectorXd z(A.rows());
  for (std::size_t i = 0; i < lows.size(); ++i) {
    A.row(static_cast<Eigen::Index>(i)) << 1, lows[i].x();
    z[static_cast<Eigen::Index>(i)] = lows[i].y();
  }
  const Eigen::VectorXd line = least_squares(A, z);
  state.pitch_rad = std::atan(line[1]);  // wheels higher at the front: nose down
  state.height_mm = 0;
  double lowest = 1e300;
  for (std::size_t m = 0; m < vehicle.system.members.size(); ++m)
    for (std::size_t i = 0; i < vehicle.system.members[m].treads.size(); ++i) {
      const Vec3 p = wheel_point(vehicle.system.members[m], wheel_centre(*vehicle.system.members[m].mechanism, static_cast<int>(i), state.q[m]));
      lowest = std::min(lowest, height_of(state, p) - vehicle.system.members[m].treads[i].radius_mm);
    }
  state.height_mm = -lowest;
}

std::vector<OtherStance> other_stances(const Solving& solving) {
  const Vehicle& vehicle = solving.vehicle;
  const std::size_t members = vehicle.system.members.size();
  std::vector<double> x(members);
  double middle = 0;
  for (std::size_t m = 0; m < members; ++m) {
    const Member& member = vehicle.system.members[m];
    for (std::size_t i = 0; i < member.treads.size(); ++i)
      x[m] += wheel_point(member, wheel_centre(*member.mechanism, static_cast<int>(i), vehicle.hanging.q[m])).x() /
              static_cast<double>(member.treads.size());
    middle += x[m] / static_cast<double>(members);
  }
  std::vector<OtherStance> found;
  std::vector<State> known{solving.rest.state};
  for (const auto& [from, which] : {std::pair{"bump", 0}, std::pair{"nose down", 1}, std::pair{"nose up", -1}}) {
    std::vector<bool> up(members);
    for (std::size_t m = 0; m < members; ++m) up[m] = which == 0 || which * (x[m] - middle) > 0;
    State start = raised(vehicle, solving.shared, up);
    lay_on_wheels(vehicle, start);
    const auto rest = come_to_rest(vehicle.system, start);
    if (!rest) continue;
    const State& state = rest->state;
    const bool seen = std::any_of(known.begin(), known.end(), [&](const State& other) {
      double apart = std::abs(other.height_mm - state.height_mm) + 100 * std::abs(other.pitch_rad - state.pitch_rad) +
                     100 * std::abs(other.roll_rad - state.roll_rad);
      for (std::size_t m = 0; m < members; ++m)
        for (std::size_t i = 0; i < vehicle.system.members[m].treads.size(); ++i)
          apart = std::max(apart, std::abs(wheel_centre(*vehicle.system.members[m].mechanism, static_cast<int>(i), state.q[m]).y() -
                                           wheel_centre(*vehicle.system.members[m].mechanism, static_cast<int>(i), other.q[m]).y()));
      return apart < 1e-3;
    });
    if (seen) continue;
    known.push_back(state);
    OtherStance stance{.from = from, .pitch_deg = state.pitch_rad * to_deg, .roll_deg = state.roll_rad * to_deg, .ride_height_mm = {}};
    for (const Corner& corner : solving.model.corners) stance.ride_height_mm.push_back(height_of(state, corner.at_mm));
    found.push_back(stance);
  }
  return found;
}

// ----------------------------------------------------------------------------------- vehicle

VehicleResult vehicle_result(const Solving& solving) {
  const Vehicle& vehicle = solving.vehicle;
  VehicleResult out;
  out.mass_kg = vehicle.sprung.kg;
  out.total_mass_kg = vehicle.sprung.kg;
  for (const Member& member : vehicle.system.members)
    for (const Tread& tread : member.treads) out.total_mass_kg += tread.weight_n / gravity_m_per_s2;
  out.cg_mm = vehicle.sprung.cg_mm;
  out.height_mm = solving.rest.state.height_mm;
  out.pitch_deg = solving.rest.state.pitch_rad * to_deg;
  out.roll_deg = solving.rest.state.roll_rad * to_deg;
  out.indeterminate = solving.rest.indeterminate;
  out.snapped = solving.rest.snapped;
  out.modes = find_modes(vehicle.sprung, solving.rest, solving.model.module_mm);
  if (solving.options.other_stances) out.other_stances = other_stances(solving);
  return out;
}

Problem no_rest(const Model& model) {
  Problem problem;
  problem.fault = Fault::no_solution;
  problem.code = "no-rest";
  problem.place = model.bench || model.masses.empty() ? model.corners.front().place : model.masses.front().place;
  problem.text = model.bench ? "a linkage does not hold the load that it is given"
                             : "nothing supports the vehicle: it tips over or sinks without end";
  problem.hint = model.bench ? "a smaller load_n, or a spring or limit that holds it"
                             : "the centre of gravity must lie between the wheels, and springs must hold the weight";
  return problem;
}

}  // namespace

SolveResult solve(const Model& model, const SolveOptions& options) {
  SolveResult out;
  VehicleOrProblems built = build_vehicle(model);
  if (!built.vehicle) {
    out.problems = std::move(built.problems);
    return out;
  }
  Solving solving{.model = model, .options = options, .vehicle = std::move(*built.vehicle), .shared = {}, .rest = {}};
  solving.shared = share_travels(model, solving.vehicle, options.curve_points);
  const int steps = lowering_steps(solving.vehicle, solving.shared);

  std::optional<Rest> rest = model.weighed.empty() ? lower(solving.vehicle.system, solving.vehicle.hanging, steps)
                                                   : lower_as_weighed(model, solving.vehicle, steps);
  if (!rest) {
    out.problems.push_back(no_rest(model));
    return out;
  }
  solving.rest = std::move(*rest);

  Solution solution;
  solution.model = model.name;
  if (!model.bench) solution.vehicle = vehicle_result(solving);
  for (std::size_t c = 0; c < model.corners.size(); ++c) {
    const int m = solving.vehicle.member_of[c];
    CornerResult corner = m < 0 ? top_corner(solving, c) : solve_corner(solving, static_cast<std::size_t>(m), solution.curves);
    if (!model.bench) corner.ride_height_mm = height_of(solving.rest.state, model.corners[c].at_mm);
    else if (m >= 0) corner.ride_height_mm = bench_ride_height(solving.vehicle.system.members[static_cast<std::size_t>(m)], corner);
    add_mobility(solving.vehicle.assemblies[static_cast<std::size_t>(model.corners[c].linkage)], corner);
    solution.corners.push_back(std::move(corner));
  }
  if (!model.bench)
    for (const Clearance& point : model.clearances) solution.clearances.push_back({point.name, height_of(solving.rest.state, point.at_mm)});
  solution.findings = judge(model, solution);
  out.solution = std::move(solution);
  return out;
}

}  // namespace ridepitch
