#include "ride/system.hpp"

#include <algorithm>
#include <cmath>

#include "model/index.hpp"
#include "model/on_vehicle.hpp"

namespace ridepitch {

System bench_system(const Mechanism& mechanism) {
  System system;
  system.on_ground = false;
  system.members.push_back({.mechanism = &mechanism, .treads = std::vector<Tread>(mechanism.wheels.size())});
  return system;
}

Vec3 plane_point(const Member& member, const Vec2& p_C) {
  return member.at_mm + p_C.x() * u_axis(member.plane, member.u_sign) + p_C.y() * v_axis(member.plane);
}

Vec3 wheel_point(const Member& member, const Tread& tread, const Vec2& centre_C) {
  return plane_point(member, centre_C) + tread.left_mm * Vec3::UnitY();
}

Vec2 wheel_centre(const Mechanism& mechanism, int wheel, const Eigen::VectorXd& q) {
  return position(at(mechanism.wheels, wheel).at, q, turns_at(q));
}

std::vector<PlacedWheel> placed_wheels(const System& system, const State& state) {
  std::vector<PlacedWheel> placed;
  for (std::size_t m = 0; m < system.members.size(); ++m) {
    const Member& member = system.members[m];
    for (std::size_t i = 0; i < member.treads.size(); ++i) {
      const Vec2 centre = wheel_centre(*member.mechanism, static_cast<int>(i), state.q[m]);
      placed.push_back({m, i, &member.treads[i], centre, wheel_point(member, member.treads[i], centre)});
    }
  }
  return placed;
}

void prepare(const System& system, Work& work) {
  work.bounds.clear();
  work.members.resize(system.members.size());
  int unknowns = system.on_ground ? 3 : 0;
  for (std::size_t m = 0; m < system.members.size(); ++m) {
    const Member& member = system.members[m];
    const Mechanism& mechanism = *member.mechanism;
    MemberWork& mine = work.members[m];
    prepare(mechanism, mine.closure);
    mine.first = unknowns;
    mine.free = mechanism.freedoms();
    unknowns += mine.free;
    const Eigen::Index n = mechanism.coordinates();
    mine.T.setZero(n, mine.free);
    mine.g.setZero(n);
    mine.W.setZero(n, n);
    mine.WT.setZero(n, mine.free);
    mine.body_q.setZero(3, n);
    mine.lambda.setZero(static_cast<Eigen::Index>(mechanism.ties.size()));
    for (std::size_t i = 0; i < mechanism.stops.size(); ++i)
      work.bounds.push_back({static_cast<int>(m), static_cast<int>(i), false});
    if (!system.on_ground || member.plane == Plane::top) continue;
    for (std::size_t i = 0; i < mechanism.wheels.size(); ++i)
      if (!member.treads[i].tyre_rate_n_per_mm) work.bounds.push_back({static_cast<int>(m), static_cast<int>(i), true});
  }
  work.bound.assign(work.bounds.size(), {});
  work.gradient.setZero(unknowns);
  work.hessian.setZero(unknowns, unknowns);
  work.rows.setZero(static_cast<Eigen::Index>(work.bounds.size()), unknowns);
  work.scale.setOnes(unknowns);
}

double distance_mm(const System& system, const State& a, const State& b) {
  double far = std::abs(a.height_mm - b.height_mm);
  for (std::size_t m = 0; m < system.members.size(); ++m)
    far = std::max(far, distance_mm(*system.members[m].mechanism, a.q[m], b.q[m]));
  return far;
}

double gap_of_stop(const System& system, const State& state, const Bound& bound, Work& work) {
  const auto m = static_cast<std::size_t>(bound.member);
  const Stop& stop = system.members[m].mechanism->stops[static_cast<std::size_t>(bound.index)];
  auto& turns = work.members[m].closure.turns;
  set_turns(state.q[m], turns);
  return stop_gap(stop, read(stop.gauge, state.q[m], turns).value);
}

bool moved(const System& system, const State& state, const Eigen::VectorXd& step, Work& work, State& out) {
  out.height_mm = state.height_mm;
  out.pitch_rad = state.pitch_rad;
  out.roll_rad = state.roll_rad;
  if (system.on_ground) {
    out.height_mm += step[0];
    out.pitch_rad += step[1];
    out.roll_rad += step[2];
  }
  out.q.resize(state.q.size());
  for (std::size_t m = 0; m < system.members.size(); ++m) {
    auto& mine = work.members[m];
    out.q[m] = state.q[m];
    if (mine.free == 0) continue;
    out.q[m].noalias() += mine.T * step.segment(mine.first, mine.free);
    if (!close(*system.members[m].mechanism, out.q[m], mine.closure)) return false;
  }
  return true;
}

double step_size_mm(const Work& work, const Eigen::VectorXd& step) {
  return step.size() ? step.cwiseProduct(work.scale).lpNorm<Eigen::Infinity>() : 0;
}

}  // namespace ridepitch
