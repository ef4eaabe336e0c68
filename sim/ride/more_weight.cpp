#include "ride/more_weight.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "linkage/roots.hpp"
#include "model/index.hpp"
#include "model/units.hpp"
#include "ride/wheel_state.hpp"

namespace ridepitch {
namespace {

constexpr double steps_to_bump = 4;  // of what the wheel's own curve leaves
constexpr int most_steps = 64;       // each of the last ones twice as long as the one before
constexpr int steady_steps = 12;
constexpr double least_step_kg = 0.005;
constexpr double same_kg = 1e-12;         // of a root
constexpr double under_ground_mm = 1e-9;  // rounding of a clearance point's height

/// A point of the body that at rest lies plumb over a point of the ground, at a height z of the vehicle.
Vec3 plumb_over(const State& state, const Vec3& ground_mm, double z_mm) {
  const double sp = std::sin(state.pitch_rad), cp = std::cos(state.pitch_rad);
  const double sr = std::sin(state.roll_rad), cr = std::cos(state.roll_rad);
  const double y = (ground_mm.y() + sr * z_mm) / cr;
  return {(ground_mm.x() - sp * (sr * y + cr * z_mm)) / cp, y, z_mm};
}

System with_more(const System& system, double kg, const Vec3& at_mm) {
  System out = system;
  const double more_n = kg * gravity_m_per_s2;
  out.weight_n = system.weight_n + more_n;
  out.cg_mm = (system.weight_n * system.cg_mm + more_n * at_mm) / out.weight_n;
  return out;
}

/// A wheel, and the place over it where weight is put.
struct Loaded {
  const RestedVehicle& rested;
  std::size_t member = 0, wheel = 0;
  bool independent = true;
  Vec3 at_mm = Vec3::Zero();
};

/// The rest with so much more there.
struct Burdened {
  double kg = 0;
  Rest rest;
};

std::optional<Burdened> burden(const Loaded& loaded, double kg, const Burdened& from) {
  auto rest = follow_rest(with_more(loaded.rested.vehicle.system, kg, loaded.at_mm), from.rest);
  if (!rest) return std::nullopt;
  return Burdened{kg, std::move(*rest)};
}

/// Stops met at a rest, if they keep the wheel from rising; else the one of them that ends its travel.
std::vector<int> stops_above(const Loaded& loaded, const Rest& rest, const std::string& bump_end) {
  const Mechanism& mechanism = *loaded.rested.vehicle.system.members[loaded.member].mechanism;
  std::vector<int> met = met_stops(rest, loaded.member);
  if (blocked(mechanism, rest.state.q[loaded.member], met, loaded.wheel, loaded.independent) == Blocked::above)
    return met;
  std::erase_if(met, [&](int stop) { return at(mechanism.stops, stop).name != bump_end; });
  return met;
}

const BoundState& stop_state(const Rest& rest, std::size_t m, int stop) {
  std::size_t b = 0;
  while (rest.work.bounds[b].contact || rest.work.bounds[b].member != static_cast<int>(m) ||
         rest.work.bounds[b].index != stop)
    ++b;
  return rest.work.bound[b];
}

/// The mass with which a stop is just met, between one with which it is not and one with which it is: where its gap, and
/// beyond that what it carries, is 0.
std::optional<Burdened> just_met(const Loaded& loaded, int stop, const Burdened& before, const Burdened& after) {
  Burdened here = before;
  const auto gap_or_force = [&](const Rest& rest) {
    const BoundState& bound = stop_state(rest, loaded.member, stop);
    return bound.active ? -std::max(bound.force, 0.0) : bound.gap;
  };
  const auto at_mass = [&](double kg) {
    const auto next = burden(loaded, kg, here);
    if (!next) return std::numeric_limits<double>::quiet_NaN();
    here = *next;
    return gap_or_force(here.rest);
  };
  const Bracket ends{before.kg, after.kg, gap_or_force(before.rest), gap_or_force(after.rest)};
  if (!find_zero(at_mass, ends, {.width = same_kg, .value = closed_gap / 100})) return std::nullopt;
  return here;
}

/// A clearance point under the ground; null: none.
const Clearance* grounded(const Model& model, const Rest& rest) {
  for (const Clearance& point : model.clearances)
    if (height_of(rest.state, point.at_mm) < -under_ground_mm) return &point;
  return nullptr;
}

struct ToBump {
  std::optional<double> kg = {};
  std::string why = {};
};

/// At the first mass that bottoms the wheel: told, unless the body lies on the ground by then.
ToBump told(const Model& model, const Burdened& bottomed) {
  if (const Clearance* point = grounded(model, bottomed.rest)) return {.why = "grounds: " + point->name};
  return {.kg = bottomed.kg};
}

/// Of those stops the one that is met with the least mass.
ToBump first_met(const Loaded& loaded, const std::vector<int>& stops, const Burdened& before, const Burdened& after) {
  std::optional<Burdened> first;
  for (const int stop : stops) {
    if (stop_state(before.rest, loaded.member, stop).gap <= closed_gap) continue;
    const auto met = just_met(loaded, stop, before, after);
    if (met && (!first || met->kg < first->kg)) first = met;
  }
  return told(loaded.rested.model, first ? *first : after);
}

ToBump weight_to_bump(const Loaded& loaded, const WheelResult& wheel) {
  if (wheel.state == WheelState::bottomed) return {.kg = 0};
  if (wheel.bump_end == "dead point") return {.why = "dead point"};
  if (wheel.bump_end.empty()) return {.why = "no end"};
  const Model& model = loaded.rested.model;
  Burdened here{0, loaded.rested.rest};
  if (const Clearance* point = grounded(model, here.rest)) return {.why = "grounds: " + point->name};
  const double bearable_n = wheel.bump_load_n.value_or(0) - wheel.load_n.value_or(0);
  double step = std::max(least_step_kg, bearable_n / gravity_m_per_s2 / steps_to_bump);
  for (int k = 0; k < most_steps; ++k) {
    const auto next = burden(loaded, here.kg + step, here);
    if (!next || next->rest.snapped) {
      // It tips, or falls through a range that holds less: shorter steps tell where.
      step /= 4;
      if (step > least_step_kg / 16) continue;
      if (!next) return {.why = "no rest"};
    }
    if (const std::vector<int> stops = stops_above(loaded, next->rest, wheel.bump_end); !stops.empty())
      return next->rest.snapped ? told(model, *next) : first_met(loaded, stops, here, *next);
    if (const Clearance* point = grounded(model, next->rest)) return {.why = "grounds: " + point->name};
    here = *next;
    if (k > steady_steps) step *= 2;
  }
  return {.why = "no rest"};
}

std::optional<double> sink_mm(const Loaded& loaded) {
  const auto burdened = burden(loaded, 100 * kg_per_g, {0, loaded.rested.rest});
  if (!burdened) return std::nullopt;
  return height_of(loaded.rested.rest.state, loaded.at_mm) - height_of(burdened->rest.state, loaded.at_mm);
}

}  // namespace

void add_more_weight(const RestedVehicle& rested, std::vector<CornerResult>& corners) {
  const Vehicle& vehicle = rested.vehicle;
  for (std::size_t m = 0; m < vehicle.system.members.size(); ++m) {
    CornerResult& corner = at(corners, vehicle.corner_of[m]);
    for (std::size_t i = 0; i < corner.wheels.size(); ++i) {
      WheelResult& wheel = corner.wheels[i];
      const Loaded loaded{rested, m, i, at(rested.travels, vehicle.linkage_of[m]).independent,
                          plumb_over(rested.rest.state, wheel.contact_mm, vehicle.sprung.cg_mm.z())};
      wheel.sink_100g_mm = sink_mm(loaded);
      if (!wheel.wheel_rate_n_per_mm) continue;  // fixed wheels and beams
      ToBump found = weight_to_bump(loaded, wheel);
      if (found.kg) wheel.weight_to_bump_g = *found.kg / kg_per_g;
      wheel.weight_to_bump_why = std::move(found.why);
    }
  }
}

}  // namespace ridepitch
