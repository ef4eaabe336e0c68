#include "ride/as_built.hpp"

#include <algorithm>
#include <cmath>

#include "model/index.hpp"
#include "model/units.hpp"
#include "ride/hold.hpp"
#include "ride/joint_loads.hpp"
#include "ride/wheel_state.hpp"

namespace ridepitch {
namespace {

Eigen::VectorXd forces_at(const Mechanism& mechanism, const Rest& rest, std::size_t m) {
  return tie_forces(mechanism, linearised(mechanism, rest.state.q[m]), rest.work.members[m].g);
}

/// Loads of the wheels of a corner that move and carry.
double carried_n(const CornerResult& corner) {
  double sum = 0;
  for (const WheelResult& wheel : corner.wheels)
    if (wheel.state != WheelState::fixed && wheel.state != WheelState::lifted) sum += wheel.load_n.value_or(0);
  return sum;
}

/// A wheel of a vehicle at which friction holds.
struct RubbingWheel {
  std::size_t member = 0;
  int wheel = 0;
  double friction_n = 0;
};

std::vector<RubbingWheel> rubbing_wheels(const RestedVehicle& rested, const std::vector<CornerResult>& corners) {
  std::vector<RubbingWheel> out;
  for (std::size_t m = 0; m < rested.vehicle.system.members.size(); ++m) {
    const CornerResult& corner = at(corners, rested.vehicle.corner_of[m]);
    for (int i = 0; i < count(corner.wheels); ++i)
      if (const auto friction = at(corner.wheels, i).friction_n) out.push_back({m, i, *friction});
  }
  return out;
}

/// The friction of each by the springs' forces at a rest. @returns the greatest change; none where rates can't be told
/// @param riding  [members] whether all its wheels rode: stops that are met then hold an inner freedom
std::optional<double> rub_at(const RestedVehicle& rested, const System& system, const Rest& rest,
                             const std::vector<bool>& riding, std::vector<RubbingWheel>& wheels) {
  double change = 0;
  for (std::size_t first = 0; first < wheels.size();) {
    const std::size_t m = wheels[first].member;
    const Mechanism& mechanism = *system.members[m].mechanism;
    const Eigen::VectorXd& q = rest.state.q[m];
    const HeldMechanism held = hold_wheels(mechanism, q);
    HeldWorkspace workspace;
    prepare(held, workspace);
    HeldRates rates;
    held_rates(held, q, riding[m] ? active_stops(rest, m) : std::vector<int>{}, workspace, rates);
    if (!rates_told(mechanism, rates)) return std::nullopt;
    const Eigen::VectorXd forces = forces_at(mechanism, rest, m);
    for (; first < wheels.size() && wheels[first].member == m; ++first) {
      const auto k = std::find(held.wheels.begin(), held.wheels.end(), wheels[first].wheel) - held.wheels.begin();
      const double now = friction_n(rested.model.friction, joint_loads(mechanism, q, forces, rates.motion.col(k)));
      change = std::max(change, std::abs(now - wheels[first].friction_n));
      wheels[first].friction_n = now;
    }
  }
  return change;
}

/// The rest in which friction holds as much as it can.
/// @param sense  +1: it helps the load (pressed); -1: it helps the springs (lifted)
std::optional<Rest> held_by_friction(const RestedVehicle& rested, const std::vector<bool>& riding,
                                     std::vector<RubbingWheel> wheels, double sense) {
  constexpr int most_rounds = 60;
  constexpr double repeats = 1e-12;  // of the weight
  System system = rested.vehicle.system;
  double weight_n = system.weight_n;
  for (const Member& member : system.members)
    for (const Tread& tread : member.treads) weight_n += tread.push_n;
  std::optional<Rest> rest = rested.rest;
  for (int round = 0; round < most_rounds; ++round) {
    for (const RubbingWheel& each : wheels)
      at(system.members[each.member].treads, each.wheel).friction_n = sense * each.friction_n;
    rest = follow_rest(system, *rest);
    if (!rest) return std::nullopt;
    const auto change = rub_at(rested, system, *rest, riding, wheels);
    if (!change) return std::nullopt;
    if (*change < repeats * weight_n) return rest;
  }
  return std::nullopt;
}

/// On the bench: the loaded radius less the wheel centre's height; none where wheels disagree.
std::optional<double> bench_height_mm(const System& system, const Rest& rest, std::size_t m) {
  constexpr double same_mm = 1e-6;
  const Member& member = system.members[m];
  std::optional<double> height;
  for (std::size_t i = 0; i < member.treads.size(); ++i) {
    const double here = loaded_radius_mm(member.treads[i], ground_load(system, rest, m, i)) -
                        wheel_centre(*member.mechanism, static_cast<int>(i), rest.state.q[m]).y();
    if (height && std::abs(*height - here) > same_mm) return std::nullopt;
    if (!height) height = here;
  }
  return height;
}

}  // namespace

std::optional<double> ride_height_mm(const RestedVehicle& rested, const Rest& rest, std::size_t corner) {
  if (!rested.model.bench) return height_of(rest.state, rested.model.corners[corner].at_mm);
  const int m = rested.vehicle.member_of[corner];
  if (m < 0) return std::nullopt;
  return bench_height_mm(rested.vehicle.system, rest, static_cast<std::size_t>(m));
}

void add_as_built(const RestedVehicle& rested, std::size_t m, const Eigen::MatrixXd& motion, CornerResult& corner) {
  const Mechanism& mechanism = *rested.vehicle.system.members[m].mechanism;
  const Eigen::VectorXd& q = rested.rest.state.q[m];
  const Eigen::VectorXd forces = forces_at(mechanism, rested.rest, m);
  const double carried = carried_n(corner);
  if (corner.ride_height_mm && carried > 0 && !rested.rest.indeterminate)
    corner.as_built_height_mm = *corner.ride_height_mm - rested.model.spread.pin_play_mm.value *
                                                             joint_loads(mechanism, q, forces, {}).force_n / carried;
  if (motion.cols() == 0) return;
  const std::vector<int> movers = moving_wheels(mechanism);
  for (int k = 0; k < count(movers); ++k) {
    WheelResult& wheel = at(corner.wheels, at(movers, k));
    if (wheel.state == WheelState::lifted) continue;
    wheel.friction_n = friction_n(rested.model.friction, joint_loads(mechanism, q, forces, motion.col(k)));
    wheel.break_out_g = *wheel.friction_n / n_per_g;
  }
}

void add_pressed_and_lifted(const RestedVehicle& rested, std::vector<CornerResult>& corners) {
  const std::vector<RubbingWheel> wheels = rubbing_wheels(rested, corners);
  std::vector<bool> riding;
  for (const int c : rested.vehicle.corner_of)
    riding.push_back(
        std::all_of(at(corners, c).wheels.begin(), at(corners, c).wheels.end(), [](const WheelResult& wheel) {
          return wheel.state == WheelState::riding || wheel.state == WheelState::fixed;
        }));
  const auto add = [&](double sense, std::optional<double> CornerResult::*height) {
    const std::optional<Rest> rest = held_by_friction(rested, riding, wheels, sense);
    if (!rest) return;
    for (std::size_t c = 0; c < corners.size(); ++c) {
      CornerResult& corner = corners[c];
      if (!corner.as_built_height_mm) continue;
      if (const auto there = ride_height_mm(rested, *rest, c))
        corner.*height = *there - (*corner.ride_height_mm - *corner.as_built_height_mm);
    }
  };
  add(+1, &CornerResult::pressed_height_mm);
  add(-1, &CornerResult::lifted_height_mm);
}

}  // namespace ridepitch
