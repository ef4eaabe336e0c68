#include "ride/other_stances.hpp"

#include <algorithm>
#include <cmath>

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
    System alone;
    alone.on_ground = false;
    alone.members = {vehicle.system.members[m]};
    alone.members[0].mechanism = &levelled;
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
  Eigen::MatrixXd A(0, 2);
  std::vector<Vec2> lows;
  for (std::size_t m = 0; m < vehicle.system.members.size(); ++m)
    for (std::size_t i = 0; i < vehicle.system.members[m].treads.size(); ++i) {
      const Vec3 p = wheel_point(vehicle.system.members[m],
                                 wheel_centre(*vehicle.system.members[m].mechanism, static_cast<int>(i), state.q[m]));
      lows.emplace_back(
          p.x(), p.z() - vehicle.system.members[m].treads[i].radius_mm - vehicle.system.members[m].treads[i].ground_mm);
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
      const Vec3 p = wheel_point(vehicle.system.members[m],
                                 wheel_centre(*vehicle.system.members[m].mechanism, static_cast<int>(i), state.q[m]));
      const Tread& tread = vehicle.system.members[m].treads[i];
      lowest = std::min(lowest, height_of(state, p) - tread.radius_mm - tread.ground_mm);
    }
  state.height_mm = -lowest;
}

}  // namespace

std::vector<OtherStance> other_stances(const RestedVehicle& rested) {
  const Vehicle& vehicle = rested.vehicle;
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
  std::vector<State> known{rested.rest.state};
  for (const auto& [from, which] : {std::pair{"bump", 0}, std::pair{"nose down", 1}, std::pair{"nose up", -1}}) {
    std::vector<bool> up(members);
    for (std::size_t m = 0; m < members; ++m) up[m] = which == 0 || which * (x[m] - middle) > 0;
    State start = raised(vehicle, rested.travels, up);
    lay_on_wheels(vehicle, start);
    System system = vehicle.system;  // on a slope each stance has a grip of its own
    const auto rest = come_to_rest_gripping(system, start);
    if (!rest) continue;
    const State& state = rest->state;
    const bool seen = std::any_of(known.begin(), known.end(), [&](const State& other) {
      double apart = std::abs(other.height_mm - state.height_mm) + 100 * std::abs(other.pitch_rad - state.pitch_rad) +
                     100 * std::abs(other.roll_rad - state.roll_rad);
      for (std::size_t m = 0; m < members; ++m)
        for (std::size_t i = 0; i < vehicle.system.members[m].treads.size(); ++i)
          apart = std::max(
              apart, std::abs(wheel_centre(*vehicle.system.members[m].mechanism, static_cast<int>(i), state.q[m]).y() -
                              wheel_centre(*vehicle.system.members[m].mechanism, static_cast<int>(i), other.q[m]).y()));
      return apart < 1e-3;
    });
    if (seen) continue;
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
