#include "ride/rested.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>

#include "linkage/dense.hpp"
#include "model/units.hpp"
#include "ride/hold.hpp"
#include "ride/slope.hpp"

namespace ridepitch {
namespace {

// Every wheel of the members chosen pushed up to its end.
State raised(const Vehicle& vehicle, const std::vector<LinkageTravel>& travels, const std::vector<bool>& up) {
  State state = vehicle.hanging;
  for (std::size_t m = 0; m < vehicle.system.members.size(); ++m) {
    if (!up[m]) continue;
    const auto linkage = static_cast<std::size_t>(vehicle.linkage_of[m]);
    if (travels[linkage].alone) {
      // A hair short of the end, so that a dead point is not started from.
      const auto& poses = travels[linkage].alone->curve.poses;
      const auto& at = poses[poses.size() - std::min<std::size_t>(poses.size(), 3)];
      for (std::size_t b = 0; b < at.size(); ++b)
        state.q[m].segment<3>(3 * static_cast<Eigen::Index>(b)) << at[b].p_CB, at[b].theta_rad;
      continue;
    }
    // Pushed up together, level with one another: a beam whose wheels hang below its pin would turn over.
    Mechanism levelled = *vehicle.system.members[m].mechanism;
    const std::vector<int> wheels = moving_wheels(levelled);
    for (std::size_t i = 1; i < wheels.size(); ++i)
      levelled.springs.push_back(level_spring(levelled, wheels[0], wheels[i], vehicle.system.weight_n));
    System alone = bench_system(levelled);
    for (Tread& tread : alone.members[0].treads)
      tread.push_n = vehicle.system.weight_n;  // more than a wheel ever carries
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
  const std::vector<PlacedWheel> wheels = placed_wheels(vehicle.system, state);
  Eigen::MatrixXd A(static_cast<Eigen::Index>(wheels.size()), 2);
  Eigen::VectorXd z(A.rows());
  const auto radius_and_ground = [](const PlacedWheel& wheel) {
    return wheel.tread->radius_mm + wheel.tread->ground_mm;
  };
  for (Eigen::Index i = 0; i < A.rows(); ++i) {
    const PlacedWheel& wheel = wheels[static_cast<std::size_t>(i)];
    A.row(i) << 1, wheel.point_mm.x();
    z[i] = wheel.point_mm.z() - radius_and_ground(wheel);
  }
  state.pitch_rad = std::atan(least_squares(A, z)[1]);  // wheels higher at the front: nose down
  state.height_mm = 0;
  double lowest = std::numeric_limits<double>::infinity();
  for (const PlacedWheel& wheel : wheels)
    lowest = std::min(lowest, height_of(state, wheel.point_mm) - radius_and_ground(wheel));
  state.height_mm = -lowest;
}

// How far along the vehicle the wheels of each member are from the mean of all members.
std::vector<double> ahead_of_middle(const Vehicle& vehicle) {
  std::vector<double> x(vehicle.system.members.size());
  for (const PlacedWheel& wheel : placed_wheels(vehicle.system, vehicle.hanging))
    x[wheel.member] += wheel.point_mm.x() / static_cast<double>(vehicle.system.members[wheel.member].treads.size());
  const double middle = std::accumulate(x.begin(), x.end(), 0.0) / static_cast<double>(x.size());
  for (double& each : x) each -= middle;
  return x;
}

// Pitch and roll count by what they lift 100 mm away.
bool same_stance(const System& system, const State& a, const State& b) {
  constexpr double arm_mm = 100, same_mm = 1e-3;
  double apart = std::abs(a.height_mm - b.height_mm) + arm_mm * std::abs(a.pitch_rad - b.pitch_rad) +
                 arm_mm * std::abs(a.roll_rad - b.roll_rad);
  const std::vector<PlacedWheel> at_a = placed_wheels(system, a), at_b = placed_wheels(system, b);
  for (std::size_t i = 0; i < at_a.size(); ++i)
    apart = std::max(apart, std::abs(at_a[i].centre_C_mm.y() - at_b[i].centre_C_mm.y()));
  return apart < same_mm;
}

}  // namespace

std::vector<OtherStance> other_stances(const RestedVehicle& rested) {
  const Vehicle& vehicle = rested.vehicle;
  const std::vector<double> ahead_mm = ahead_of_middle(vehicle);
  std::vector<OtherStance> found;
  std::vector<State> known{rested.rest.state};
  for (const auto& [from, which] : {std::pair{"bump", 0}, std::pair{"nose down", 1}, std::pair{"nose up", -1}}) {
    std::vector<bool> up(ahead_mm.size());
    for (std::size_t m = 0; m < up.size(); ++m) up[m] = which == 0 || which * ahead_mm[m] > 0;
    State start = raised(vehicle, rested.travels, up);
    lay_on_wheels(vehicle, start);
    System system = vehicle.system;  // on a slope each stance has a grip of its own
    const auto rest = come_to_rest_gripping(system, start);
    if (!rest) continue;
    const State& state = rest->state;
    if (std::any_of(known.begin(), known.end(),
                    [&](const State& other) { return same_stance(vehicle.system, other, state); }))
      continue;
    known.push_back(state);
    OtherStance stance{.from = from,
                       .pitch_deg = state.pitch_rad * deg_per_rad,
                       .roll_deg = state.roll_rad * deg_per_rad,
                       .ride_height_mm = {}};
    for (const Corner& corner : rested.model.corners) stance.ride_height_mm.push_back(height_of(state, corner.at_mm));
    found.push_back(stance);
  }
  return found;
}

}  // namespace ridepitch
