#include "ride/in_a_bend.hpp"

#include <cmath>

#include "model/units.hpp"
#include "ride/slope.hpp"
#include "ride/wheel_state.hpp"

namespace ridepitch {
namespace {

constexpr double sideways_g = 0.1;
constexpr double small_shift_mm = 0.05;  // of the centre of gravity: a small roll couple

/// Loads of all wheels, in the order of placed_wheels().
std::vector<double> loads_n(const System& system, const Rest& rest) {
  std::vector<double> loads;
  for (const PlacedWheel& wheel : placed_wheels(system, rest.state))
    loads.push_back(ground_load(system, rest, wheel.member, wheel.wheel));
  return loads;
}

/// The same vehicle where everything weighs so many times as much.
System times_as_heavy(System system, double times) {
  system.weight_n *= times;
  for (Member& member : system.members)
    for (Tread& tread : member.treads) tread.weight_n *= times;
  return system;
}

void add_lean(const RestedVehicle& rested, VehicleResult& vehicle) {
  System system = times_as_heavy(rested.vehicle.system, std::hypot(1.0, sideways_g));
  const std::optional<Rest> leant = tilt(system, rested.rest, std::atan(sideways_g), Toward::left);
  if (!leant || leant->snapped) return;
  const std::vector<double> before = loads_n(rested.vehicle.system, rested.rest), after = loads_n(system, *leant);
  const std::vector<PlacedWheel> wheels = placed_wheels(system, rested.rest.state);
  double onto_left_n = 0;
  for (std::size_t i = 0; i < wheels.size(); ++i)
    if (wheels[i].point_mm.y() > 0) onto_left_n += after[i] - before[i];
  // Positive roll raises the left side.
  vehicle.lean_deg_per_0_1_g = (rested.rest.state.roll_rad - leant->state.roll_rad) * deg_per_rad;
  vehicle.load_transfer_n = onto_left_n;
}

void add_roll_share(const RestedVehicle& rested, VehicleResult& vehicle) {
  std::vector<double> loads[2];
  for (const int side : {0, 1}) {
    System system = rested.vehicle.system;
    system.cg_mm.y() += side == 0 ? -small_shift_mm : small_shift_mm;
    const std::optional<Rest> rest = follow_rest(system, rested.rest);
    if (!rest || rest->snapped) return;
    loads[side] = loads_n(system, *rest);
  }
  const std::vector<PlacedWheel> wheels = placed_wheels(rested.vehicle.system, rested.rest.state);
  double front = 0, all = 0;
  for (std::size_t i = 0; i < wheels.size(); ++i) {
    const double moment = (loads[1][i] - loads[0][i]) * wheels[i].point_mm.y();
    all += moment;
    if (wheels[i].point_mm.x() > rested.vehicle.sprung.cg_mm.x()) front += moment;
  }
  if (all > 0) vehicle.roll_stiffness_share_front = front / all;
}

}  // namespace

void add_bend(const RestedVehicle& rested, VehicleResult& vehicle) {
  if (rested.rest.indeterminate) return;
  add_lean(rested, vehicle);
  add_roll_share(rested, vehicle);
}

}  // namespace ridepitch
