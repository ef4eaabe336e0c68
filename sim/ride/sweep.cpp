#include "ride/sweep.hpp"

#include "linkage/mobility.hpp"
#include "model/index.hpp"
#include "ride/equilibrium.hpp"
#include "ride/system.hpp"

namespace ridepitch {
namespace {

constexpr double least_height_step_mm = 1e-11;  // a step under it no longer tells two heights apart
constexpr double met_from_the_start = 1e-7;     // a stop's gap under it [mm or rad]

// Inner freedoms go to least energy with the wheels held: the active stops are found anew.
bool settle_inner(const Mechanism& mechanism, Eigen::VectorXd& q, std::vector<int>& active) {
  const System system = bench_system(mechanism);
  Work work;
  prepare(system, work);
  State state;
  state.q = {q};
  if (!descend(system, 1, state, work).settled || !make_exact(system, 1, state, work)) return false;
  q = state.q[0];
  active.clear();
  for (std::size_t b = 0; b < work.bound.size(); ++b)
    if (work.bound[b].active && work.bound[b].force > 1e-9) active.push_back(work.bounds[b].index);
  return true;
}

Follower path_of(const HeldMechanism& held, int wheel, const Eigen::VectorXd& from) {
  Follower path = follow(held.mechanism, held.first_tie + wheel, from);
  if (held.mechanism.freedoms() == 0) return path;
  path.settle = settle_inner;
  Eigen::VectorXd settled = from;
  if (settle_inner(path.mechanism, settled, path.active)) path.here.q = settled;
  return path;
}

}  // namespace

WheelFollower follow_wheel(const HeldMechanism& held, int wheel, const Eigen::VectorXd& from) {
  WheelFollower follower{
      .held = &held, .wheel = wheel, .path = path_of(held, wheel, from), .workspace = {}, .rates = {}};
  prepare(held, follower.workspace);
  return follower;
}

void read_off(WheelFollower& follower) {
  PathPlace& here = follower.path.here;
  held_rates(*follower.held, here.q, follower.path.active, follower.workspace, follower.rates);
  here.heading = follower.rates.motion.col(follower.wheel);
  here.side = follower.workspace.closure.part.det_sign;
  here.has_heading = follower.rates.finite;
}

double load_n(const WheelFollower& follower) { return follower.rates.load_n[follower.wheel]; }

double rate_n_per_mm(const WheelFollower& follower) {
  return follower.rates.rate_n_per_mm(follower.wheel, follower.wheel);
}

void sample_travel(const HeldMechanism& held, int wheel, const Eigen::VectorXd& low, const SweepEnd& high, int points,
                   const std::function<void(const WheelFollower&)>& visit) {
  WheelFollower follower = follow_wheel(held, wheel, low);
  const double start = follower.path.here.s;
  for (int i = 0; i < points; ++i) {
    if (i > 0 && i + 1 == points)
      put(follower.path, {.q = high.q, .s = high.height_mm});  // the end itself, exactly
    else if (i > 0)
      go_to(follower.path, start + static_cast<double>(i) / (points - 1) * (high.height_mm - start));
    read_off(follower);
    visit(follower);
  }
}

bool place_wheel(const HeldMechanism& held, int wheel, double height_mm, Eigen::VectorXd& q) {
  Follower path = path_of(held, wheel, q);
  const bool arrived = go_to(path, height_mm);
  q = path.here.q;
  return arrived;
}

SweepEnd sweep_to_end(const HeldMechanism& held, int wheel, const Eigen::VectorXd& from, int direction) {
  const bool inner = held.mechanism.freedoms() > 0;
  HeldMechanism watched = held;
  std::vector<Watch> watches;
  // Stops met at the start hold inner freedoms and stay bounds; the others end the travel, so they bound nothing.
  const Eigen::VectorXd start = path_of(held, wheel, from).here.q;
  const std::vector<Turn> turns = turns_at(start);
  watched.mechanism.stops.clear();
  for (const Stop& stop : held.mechanism.stops) {
    const bool met = stop_gap(stop, read(stop.gauge, start, turns).value) < met_from_the_start;
    if (inner && (met || !stop.ends_bump)) watched.mechanism.stops.push_back(stop);
    if (!inner || stop.ends_bump) watches.push_back({.stop = &stop});
  }
  Follower path = path_of(watched, wheel, from);
  const PathEnd met = follow_to_end(
      path, watches, {.direction = direction, .limit = {}, .least_step_mm = least_height_step_mm, .by_motion = false});
  SweepEnd end{.q = path.here.q, .height_mm = path.here.s, .name = {}, .links = {}};
  if (met.why == PathEnd::Why::gap) end.name = at(watches, met.watch).stop->name;
  if (met.why == PathEnd::Why::dead_point) {
    end.name = "dead point";
    end.links = collinear_links(path.mechanism, path.here.q);
  }
  return end;
}

}  // namespace ridepitch
