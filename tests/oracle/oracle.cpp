#include "oracle.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <stdexcept>

#include "built.hpp"
#include "law.hpp"
#include "members.hpp"
#include "modes.hpp"
#include "more_weight.hpp"
#include "stance.hpp"
#include "travel.hpp"

namespace ridepitch::oracle {
namespace {

constexpr double carries_force_n = 1e-7;
constexpr double moves = 1e-9;  // a motion ratio above this counts
constexpr double degrees = 180 / std::numbers::pi;

// One corner at rest, seen from its linkage alone.
struct AtRest {
  const Stance& stance;
  const Part& part;
  Vector x;                      // bodies' variables
  std::vector<int> under_force;  // its stops that carry force
  std::vector<int> kept;         // those that hold an inner freedom while every wheel can still move
};

AtRest at_rest(const Stance& stance, const Part& part) {
  AtRest rest{stance, part, {}, {}, {}};
  const auto from = stance.point.x.begin() + part.layout.first;
  rest.x.assign(from, from + part.layout.variables());
  for (int k = 0; k < part.stops; ++k) {
    if (stance.point.stop_force[part.first_stop + k] > carries_force_n) rest.under_force.push_back(k);
  }
  return rest;
}

// Heights that these wheels can still take, each in its turn, with the given stops shut: rank of their rates.
int ways_to_move(const Rig& rig, const Vector& x, const std::vector<int>& wheels, const std::vector<int>& shut) {
  Programme all = bare_programme(rig.layout());
  add_stops(all, rig.layout());
  std::vector<Term> held = all.equal, heights;
  for (const int k : shut) held.push_back(all.stops[k].gap);
  for (const int wheel : wheels) heights.push_back(wheel_height(rig.layout(), wheel));
  const Matrix Z = null_space(jacobian(all, held, x));
  if (Z.columns == 0) return 0;
  const Matrix B = product(jacobian(all, heights, x), Z);
  double most = 0;
  for (const double entry : B.entries) most = std::max(most, std::abs(entry));
  return most < 1e-9 ? 0 : Z.columns - null_space(B).columns;
}

std::vector<int> without(std::vector<int> wheels, int wheel) {
  std::erase(wheels, wheel);
  return wheels;
}

// Stops hold an inner freedom only while every wheel can still move; where one is topped or bottomed all are left out.
void find_kept_stops(AtRest& rest) {
  const Rig& rig = *rest.part.rig;
  const int all = static_cast<int>(rig.sprung.size());
  if (rig.inner > 0 && ways_to_move(rig, rest.x, rig.sprung, rest.under_force) == all) rest.kept = rest.under_force;
}

WheelState state_of(const AtRest& rest, int wheel, double ground_load) {
  const Rig& rig = *rest.part.rig;
  if (rig.linkage->wheels[wheel].at.body == chassis) return WheelState::fixed;
  if (!(ground_load > 0)) return WheelState::lifted;
  const auto can_move = [&] {
    if (rig.fewer) return ways_to_move(rig, rest.x, {wheel}, rest.under_force) == 1;
    return ways_to_move(rig, rest.x, rig.sprung, rest.under_force) >
           ways_to_move(rig, rest.x, without(rig.sprung, wheel), rest.under_force);
  };
  if (rest.under_force.empty() || can_move()) return WheelState::riding;
  const auto place = std::ranges::find(rig.sprung, wheel) - rig.sprung.begin();
  double closing = 0;  // with the wheel's fall
  for (const int k : rest.under_force) {
    const double force = rest.stance.point.stop_force[rest.part.first_stop + k];
    closing += force * gap_per_wheel(rig, rest.x, k)[place];
  }
  return closing > 0 ? WheelState::topped : WheelState::bottomed;
}

// The first stop, in file order, that is met at full droop and moves with the wheel.
std::string droop_end(const Rig& rig, int wheel) {
  Programme all = bare_programme(rig.layout());
  add_stops(all, rig.layout());
  const auto place = std::ranges::find(rig.sprung, wheel) - rig.sprung.begin();
  for (std::size_t k = 0; k < all.stops.size(); ++k) {
    if (std::abs(value(all, all.stops[k].gap, rig.droop.x)) > 1e-6) continue;
    if (std::abs(gap_per_wheel(rig, rig.droop.x, static_cast<int>(k))[place]) > 1e-6) return all.stops[k].name;
  }
  return "";
}

std::vector<SpringResult> springs_of(const AtRest& rest, const std::optional<Rates>& rates) {
  const Rig& rig = *rest.part.rig;
  const Programme bare = bare_programme(rig.layout());
  std::vector<SpringResult> list;
  for (std::size_t s = 0; s < rig.linkage->springs.size(); ++s) {
    const Spring& spring = rig.linkage->springs[s];
    const bool torsion = std::holds_alternative<Torsion>(spring.data);
    const double length = value(bare, spring_length(rig.layout(), static_cast<int>(s)), rest.x);
    SpringResult result;
    result.name = spring.name;
    if (torsion) {
      const Torsion& data = std::get<Torsion>(spring.data);
      result.angle_deg = length * degrees;
      result.torque_n_mm = data.rate_n_mm_per_rad * (data.free_rad - length);
    } else {
      result.length_mm = length;
      result.force_n = std::abs(push_n(spring, length));
      result.total_force_n = spring.count * *result.force_n;
    }
    for (std::size_t w = 0; w < rig.linkage->wheels.size(); ++w) {
      std::optional<double> ratio;
      const auto at = std::ranges::find(rig.sprung, static_cast<int>(w));
      if (!torsion && rates && at != rig.sprung.end()) {
        ratio = rates->motion_ratio(static_cast<int>(s), static_cast<int>(at - rig.sprung.begin()));
      }
      result.motion_ratio.emplace_back(rig.linkage->wheels[w].name, ratio);
    }
    list.push_back(result);
  }
  return list;
}

// Below the wheel's centre, from the vehicle's origin, level with the world; on the bench the chassis is level.
Vec3 contact_of(const Model& model, const Stance& stance, const Contact& contact) {
  const Vec3 centre = wheel_centre(model, stance, contact);
  if (model.bench) return levelled(centre, 0, 0);
  return levelled(centre, stance.point.x[pitch_variable] * attitude_unit,
                  stance.point.x[roll_variable] * attitude_unit);
}

std::vector<Pose> poses_of(const Linkage& linkage, const Vector& x) {
  std::vector<Pose> poses(1);
  for (std::size_t i = 0; i + 2 < x.size() && poses.size() < linkage.bodies.size(); i += 3) {
    poses.push_back({Vec2(x[i], x[i + 1]), x[i + 2] * body_angle_unit});
  }
  return poses;
}

WheelResult wheel_of(const Model& model, const AtRest& rest, const Contact& contact, double ground_load,
                     const std::optional<Rates>& rates) {
  const Rig& rig = *rest.part.rig;
  const Wheel& wheel = rig.linkage->wheels[contact.wheel];
  WheelResult result;
  result.name = wheel.name;
  result.ground_load_n = ground_load;
  result.load_n = ground_load > 0 ? ground_load - contact.unsprung_kg * gravity_m_per_s2 : 0;
  result.state = state_of(rest, contact.wheel, ground_load);
  const Programme bare = bare_programme(rig.layout());
  const double v = value(bare, wheel_height(rig.layout(), contact.wheel), rest.x);
  result.contact_mm = contact_of(model, rest.stance, contact);
  result.centre_C_mm = {value(bare, of_hole(rig.layout(), wheel.at, [](const Place2& p) { return p.u; }), rest.x), v};
  if (result.state == WheelState::fixed) return result;

  result.travel_mm = v - rig.droop_v_mm[contact.wheel];
  result.sag_mm = result.droop_travel_mm = result.travel_mm;
  result.droop_end = droop_end(rig, contact.wheel);
  if (!rates) return result;

  const int place = static_cast<int>(std::ranges::find(rig.sprung, contact.wheel) - rig.sprung.begin());
  const Bump bump = full_bump(rig, rest.x, place, rest.kept);
  result.bump_total_mm = bump.v_mm - rig.droop_v_mm[contact.wheel];
  result.bump_travel_mm = bump.v_mm - v;
  result.bump_end = bump.end;
  result.bump_load_n = bump.load_n;
  if (bump.load_n && *result.load_n > 0) result.reserve = *bump.load_n / *result.load_n;
  for (std::size_t s = 0; s < rig.linkage->springs.size() && !result.motion_ratio; ++s) {
    const double ratio = rates->motion_ratio(static_cast<int>(s), place);
    if (!std::holds_alternative<Torsion>(rig.linkage->springs[s].data) && std::abs(ratio) > moves) {
      result.motion_ratio = ratio;
    }
  }
  const double rate = rates->wheel_rate(place, place);
  result.wheel_rate_n_per_mm = rate;
  const std::optional<double> tyre = contact.tyre->rate_n_per_mm;
  if (rate > 0 && *result.load_n > 0) {
    const double both = tyre ? 1 / (1 / rate + 1 / *tyre) : rate;
    result.frequency_hz = std::sqrt(1000 * both / (*result.load_n / gravity_m_per_s2)) / (2 * std::numbers::pi);
  }
  return result;
}

// Play, as how much lower it stands: the ride height is not known here. Friction of its wheels.
void add_built(const Model& model, const AtRest& rest, const std::optional<Rates>& rates, const Members& members,
               CornerResult& result) {
  const Rig& rig = *rest.part.rig;
  double carried = 0;
  for (const WheelResult& wheel : result.wheels)
    if (wheel.state != WheelState::fixed && wheel.state != WheelState::lifted) carried += *wheel.load_n;
  if (carried > 0 && !rest.stance.indeterminate)
    result.as_built_height_mm =
        -model.spread.pin_play_mm.value * joint_force_n(*rig.linkage, members, result.springs) / carried;
  for (std::size_t place = 0; rates && place < rig.sprung.size(); ++place) {
    WheelResult& wheel = result.wheels[rig.sprung[place]];
    if (wheel.state == WheelState::lifted) continue;
    wheel.friction_n = friction_n(model, rig, rest.x, *rates, static_cast<int>(place), members, result.springs);
    wheel.break_out_g = *wheel.friction_n / gravity_m_per_s2 * 1000;
    wheel.set_down_height_mm =
        set_down_height_mm(model, rig, rest.x, static_cast<int>(place), rest.kept, *wheel.load_n);
  }
}

CornerResult corner_of(const Model& model, const Stance& stance, const Part& part, const Members& members) {
  AtRest rest = at_rest(stance, part);
  find_kept_stops(rest);
  const Rig& rig = *part.rig;
  CornerResult result;
  result.name = model.corners[part.corner].name;
  result.freedoms = rig.freedoms;
  std::optional<Rates> rates;
  if (!rig.fewer && !rig.sprung.empty()) {
    rates = rates_by_difference(rig, rest.x, rest.kept);
    const Margins least = margins(rig, rest.x, rest.kept);
    result.toggle_margin_deg = least.toggle_deg;
    result.coil_margin_deg = least.coil_deg;
  }
  for (std::size_t i = 0; i < stance.contacts.size(); ++i) {
    if (stance.contacts[i].part != &part - stance.parts.data()) continue;
    result.wheels.push_back(wheel_of(model, rest, stance.contacts[i], stance.ground_load_n[i], rates));
  }
  result.springs = springs_of(rest, rates);
  add_built(model, rest, rates, members, result);
  if (rates && rig.sprung.size() == rig.linkage->wheels.size()) {
    result.wheel_rate_matrix_n_per_mm = rates->wheel_rate.entries;
  }
  result.poses = poses_of(*rig.linkage, rest.x);
  result.rods = members.rods;
  result.pins = members.pins;
  return result;
}

std::optional<double> bench_height(const Stance& stance) {
  std::optional<double> height;
  for (std::size_t i = 0; i < stance.contacts.size(); ++i) {
    const Contact& contact = stance.contacts[i];
    const double sink = contact.tyre->rate_n_per_mm ? stance.ground_load_n[i] / *contact.tyre->rate_n_per_mm : 0;
    const double own = contact.tyre->diameter_mm / 2 - sink - value(stance.programme, contact.height, stance.point.x);
    if (height && std::abs(*height - own) > 1e-6) return std::nullopt;
    height = own;
  }
  return height;
}

VehicleResult vehicle_of(const Model& model, const Stance& stance) {
  VehicleResult result;
  result.mass_kg = result.total_mass_kg = stance.body.kg;
  for (const Contact& contact : stance.contacts) result.total_mass_kg += contact.unsprung_kg;
  result.cg_mm = stance.body.cg_mm;
  result.height_mm = stance.point.x[height_variable];
  result.pitch_deg = stance.point.x[pitch_variable] * attitude_unit * degrees;
  result.roll_deg = stance.point.x[roll_variable] * attitude_unit * degrees;
  result.indeterminate = stance.indeterminate;
  result.modes = modes(model, stance);
  return result;
}

// Of every contact's wheel, in any stance.
Vector frictions(const Model& model, const Stance& stance) {
  const std::vector<Members> members = member_forces(stance);
  Vector list(stance.contacts.size(), 0.0);
  for (std::size_t i = 0; i < stance.parts.size(); ++i) {
    const Rig& rig = *stance.parts[i].rig;
    if (rig.fewer || rig.sprung.empty()) continue;
    AtRest here = at_rest(stance, stance.parts[i]);
    find_kept_stops(here);
    const Rates rates = rates_by_difference(rig, here.x, here.kept);
    const std::vector<SpringResult> springs = springs_of(here, rates);
    for (std::size_t c = 0; c < list.size(); ++c) {
      const Contact& contact = stance.contacts[c];
      const auto at = std::ranges::find(rig.sprung, contact.wheel);
      if (contact.part != static_cast<int>(i) || at == rig.sprung.end() || !(stance.ground_load_n[c] > 0)) continue;
      list[c] = friction_n(model, rig, here.x, rates, static_cast<int>(at - rig.sprung.begin()), members[i], springs);
    }
  }
  return list;
}

std::optional<double> height_of(const Model& model, const Stance& stance, const Part& part) {
  if (model.bench) return bench_height(stance);
  return value(stance.programme, point_height(model.corners[part.corner].at_mm), stance.point.x);
}

// The heights at which friction holds it, less the play.
void add_stuck(const Model& model, const Stance& rest, OracleSolution& out) {
  for (const double sign : {-1.0, 1.0}) {
    std::optional<Stance> stuck;
    try {
      stuck = held_by_friction(rest, sign, model.bench, [&model](const Stance& s) { return frictions(model, s); });
    } catch (const std::runtime_error&) {
      for (const Part& part : rest.parts) out.corners[part.corner].settles = false;
      continue;
    }
    for (const Part& part : stuck->parts) {
      CornerResult& corner = out.solution.corners[part.corner];
      if (!corner.as_built_height_mm) continue;
      std::optional<double>& height = sign < 0 ? corner.pressed_height_mm : corner.lifted_height_mm;
      height = height_of(model, *stuck, part);
      if (height) *height += *corner.as_built_height_mm - *corner.ride_height_mm;
    }
  }
}

void add_more_weight(const Model& model, const Stance& rest, Solution& solution) {
  for (const Contact& contact : rest.contacts) {
    const Part& part = rest.parts[contact.part];
    WheelResult& wheel = solution.corners[part.corner].wheels[contact.wheel];
    wheel.sink_100g_mm = sink_100g_mm(model, rest, contact);
    const bool ends = !wheel.bump_end.empty() && wheel.bump_end != "dead point";
    if (wheel.state != WheelState::fixed && !part.rig->fewer && ends)
      wheel.weight_to_bump_g = weight_to_bump_g(model, rest, contact);
  }
}

// From how much lower to the height.
void take_play(CornerResult& corner) {
  if (!corner.ride_height_mm) corner.as_built_height_mm.reset();
  if (corner.as_built_height_mm) *corner.as_built_height_mm += *corner.ride_height_mm;
}

}  // namespace

OracleSolution solve(const Model& model) {
  std::vector<Rig> rigs(model.linkages.size());
  for (const Corner& corner : model.corners) {
    Rig& rig = rigs[corner.linkage];
    const Linkage& linkage = model.linkages[corner.linkage];
    if (!rig.linkage && linkage.plane != Plane::top) rig = assemble_and_hang(linkage);
  }
  OracleSolution out;
  out.solution.model = model.name;
  out.solution.corners.resize(model.corners.size());
  out.corners.resize(model.corners.size());
  const auto fill = [&](const Stance& stance) {
    const std::vector<Members> members = member_forces(stance);
    for (std::size_t i = 0; i < stance.parts.size(); ++i) {
      const int corner = stance.parts[i].corner;
      out.solution.corners[corner] = corner_of(model, stance, stance.parts[i], members[i]);
      out.corners[corner].forces_told = members[i].told;
    }
  };
  for (std::size_t c = 0; c < model.corners.size(); ++c) out.solution.corners[c].name = model.corners[c].name;
  if (model.bench) {
    for (std::size_t c = 0; c < model.corners.size(); ++c) {
      const int linkage = model.corners[c].linkage;
      if (model.linkages[linkage].plane == Plane::top) continue;
      const Stance stance = stand_on_bench(model, static_cast<int>(c), rigs[linkage]);
      fill(stance);
      out.solution.corners[c].ride_height_mm = bench_height(stance);
      take_play(out.solution.corners[c]);
      add_stuck(model, stance, out);
    }
    return out;
  }
  const Stance stance = stand(model, rigs);
  fill(stance);
  for (std::size_t c = 0; c < model.corners.size(); ++c) {
    out.solution.corners[c].ride_height_mm =
        value(stance.programme, point_height(model.corners[c].at_mm), stance.point.x);
    take_play(out.solution.corners[c]);
  }
  add_stuck(model, stance, out);
  add_more_weight(model, stance, out.solution);
  for (const Clearance& point : model.clearances) {
    out.solution.clearances.push_back({point.name, value(stance.programme, point_height(point.at_mm), stance.point.x)});
  }
  out.solution.vehicle = vehicle_of(model, stance);
  return out;
}

}  // namespace ridepitch::oracle
