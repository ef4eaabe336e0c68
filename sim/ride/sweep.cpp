#include "ride/sweep.hpp"

#include <algorithm>
#include <cmath>

#include "linkage/straight_links.hpp"
#include "ride/equilibrium.hpp"
#include "ride/system.hpp"

namespace ridepitch {
namespace {

constexpr double end_step_mm = 1e-11;   // a step under it no longer tells two heights apart
constexpr double finest_share = 0.002;  // of the linkage's size, a step beside a stop that is nearly met
constexpr double dip_share = 1e-5;      // the same, where the tangents at both its ends meet under 0
constexpr double longest_share = 0.06;  // of the linkage's size, in one step of the search for an end
constexpr int most_steps = 3000;
constexpr double met_mm = 1e-9;

int tie_of(const Follower& follower) { return follower.held.first_tie + follower.wheel; }

// Inner freedoms go to least energy with the wheels held: the carrying stops are found anew.
bool settle_inner(Follower& follower) {
  const System system = bench_system(follower.held.mechanism);
  Work work;
  prepare(system, work);
  State state;
  state.q = {follower.trial};
  if (!descend(system, 1, state, work).settled) return false;
  if (!make_exact(system, 1, state, work)) return false;
  follower.trial = state.q[0];
  follower.carrying.clear();
  for (std::size_t b = 0; b < work.bound.size(); ++b)
    if (work.bound[b].active && work.bound[b].force > 1e-9) follower.carrying.push_back(work.bounds[b].index);
  return true;
}

GaugeReading reading_of(const Follower& follower, const Gauge& gauge, const Eigen::VectorXd& q,
                        std::vector<Turn>& turns) {
  turns.resize(static_cast<std::size_t>(follower.held.mechanism.bodies));
  set_turns(q, turns);
  return read(gauge, q, turns);
}

}  // namespace

Follower follow(const HeldMechanism& held, int wheel, const Eigen::VectorXd& from) {
  Follower follower;
  follower.held = held;
  follower.wheel = wheel;
  follower.q = from;
  prepare(follower.held, follower.room);
  follower.heading.setZero(from.size());
  const WheelPoint& point =
      held.mechanism.wheels[static_cast<std::size_t>(held.wheels[static_cast<std::size_t>(wheel)])];
  std::vector<Turn> turns;
  follower.height_mm = reading_of(follower, point.height, from, turns).value;
  follower.held.mechanism.ties[static_cast<std::size_t>(tie_of(follower))].target = follower.height_mm;
  if (held.mechanism.freedoms() > 0) {
    follower.trial = from;
    if (settle_inner(follower)) follower.q = follower.trial;
  }
  return follower;
}

namespace {

void find_heading(Follower& follower) {
  if (follower.heading_known) return;
  linearise(follower.held.mechanism, follower.q, follower.room.closure);
  follow_tie(tie_of(follower), follower.room.closure, follower.heading);
  follower.side = follower.room.closure.part.det_sign;
  follower.heading_known = true;
}

// Where the way leads: the cubic through here and the place before, with both headings; straight on at the start.
void predict(Follower& follower, double height_mm) {
  const double step = height_mm - follower.height_mm;
  const double past = follower.height_mm - follower.past_height_mm;
  // A cubic drawn out far beyond its support strays more than a straight line.
  if (!follower.has_past || !(step / past > 0) || step / past > 2.5) {
    follower.predicted = follower.q + step * follower.heading;
    return;
  }
  const double t = 1 + step / past;
  const double h00 = (2 * t - 3) * t * t + 1, h10 = ((t - 2) * t + 1) * t, h01 = (3 - 2 * t) * t * t,
               h11 = (t - 1) * t * t;
  follower.predicted =
      h00 * follower.past_q + past * h10 * follower.past_heading + h01 * follower.q + past * h11 * follower.heading;
}

}  // namespace

bool advance(Follower& follower, double height_mm) {
  Mechanism& mechanism = follower.held.mechanism;
  Closure& closure = follower.room.closure;
  find_heading(follower);
  predict(follower, height_mm);
  follower.trial = follower.predicted;
  Tie& tie = mechanism.ties[static_cast<std::size_t>(tie_of(follower))];
  tie.target = height_mm;
  const auto refuse = [&] {
    tie.target = follower.height_mm;
    return false;
  };
  if (!close(mechanism, follower.trial, closure)) return refuse();
  // The correction bends the way; if it is as long as the step, this is another way.
  if (distance_mm(mechanism, follower.trial, follower.predicted) >
      0.5 * distance_mm(mechanism, follower.predicted, follower.q) + 1e-9)
    return refuse();
  const bool square = closure.J.rows() == closure.J.cols();
  if (square && closure.part.det_sign != follower.side) return refuse();  // past a dead point, on the other side of it
  if (mechanism.freedoms() > 0) {
    if (!settle_inner(follower)) return refuse();
    if (distance_mm(mechanism, follower.trial, follower.q) > 0.3 * mechanism.size_mm) return refuse();
  }
  std::swap(follower.past_q, follower.q);
  std::swap(follower.past_heading, follower.heading);
  follower.past_height_mm = follower.height_mm;
  follower.has_past = follower.past_heading.size() == follower.past_q.size();
  std::swap(follower.q, follower.trial);
  follower.heading.resize(follower.q.size());
  follower.height_mm = height_mm;
  follower.heading_known = false;
  return true;
}

void read_off(Follower& follower, WayPoint& point) {
  held_rates(follower.held, follower.q, follower.carrying, follower.room, follower.rates);
  follower.heading = follower.rates.motion.col(follower.wheel);
  follower.side = follower.room.closure.part.det_sign;
  follower.heading_known = follower.rates.finite;
  point.q = follower.q;
  point.height_mm = follower.height_mm;
  point.load_n = follower.rates.load_n[follower.wheel];
  point.rate_n_per_mm = follower.rates.rate_n_per_mm(follower.wheel, follower.wheel);
  point.motion = follower.rates.motion.col(follower.wheel);
  point.finite = follower.rates.finite;
}

bool place_wheel(const HeldMechanism& held, int wheel, double height_mm, Eigen::VectorXd& q) {
  Follower follower = follow(held, wheel, q);
  double step = height_mm - follower.height_mm;
  for (int i = 0; i < 400 && follower.height_mm != height_mm; ++i) {
    const double left = height_mm - follower.height_mm;
    if (std::abs(step) >= std::abs(left)) step = left;
    if (advance(follower, std::abs(step) >= std::abs(left) ? height_mm : follower.height_mm + step)) {
      step *= 1.5;
    } else {
      step /= 2;
      if (std::abs(step) < end_step_mm) return false;
    }
  }
  q = follower.q;
  return follower.height_mm == height_mm;
}

namespace {

// A stop on the way: its name ends the sweep when it is met from within.
struct Watch {
  std::size_t stop = 0;
  bool armed = false;  // false while it is still met from the start
  bool nears = false;  // its gap shrank in the last step
};

/// A gap and its slope over the way.
struct Gap {
  double mm = 0, slope = 0;
};

// Whether a gap may have been under 0 within a step: it closes from both ends, and the tangents there meet under 0.
bool may_dip(const Gap& before, const Gap& after, double step_mm) {
  if (before.slope >= 0 || after.slope <= 0) return false;
  const double to_meet = (after.mm - after.slope * step_mm - before.mm) / (before.slope - after.slope);
  return before.mm + before.slope * to_meet < 0;
}

}  // namespace

SweepEnd sweep_to_end(const HeldMechanism& held, int wheel, const Eigen::VectorXd& from, int direction) {
  const bool inner = held.mechanism.freedoms() > 0;
  std::vector<Turn> turns;
  HeldMechanism watched = held;
  std::vector<Watch> watches;
  {
    // Stops met at the start hold inner freedoms and stay bounds; the others end the way, so they bound nothing.
    Follower start = follow(held, wheel, from);
    watched.mechanism.stops.clear();
    for (std::size_t i = 0; i < held.mechanism.stops.size(); ++i) {
      const Stop& stop = held.mechanism.stops[i];
      const bool met = stop_gap(stop, reading_of(start, stop.gauge, start.q, turns).value) < 1e-7;
      if (inner && (met || !stop.ends_bump)) watched.mechanism.stops.push_back(stop);
      if (!inner || stop.ends_bump) watches.push_back({i, !met});
    }
  }
  Follower follower = follow(watched, wheel, from);
  const auto gap_at = [&](const Watch& watch, const Eigen::VectorXd& q) {
    const Stop& stop = held.mechanism.stops[watch.stop];
    return stop_gap(stop, reading_of(follower, stop.gauge, q, turns).value);
  };
  const auto sloped_gap_at = [&](const Watch& watch, const Eigen::VectorXd& q, const Eigen::VectorXd& heading) {
    const Stop& stop = held.mechanism.stops[watch.stop];
    const GaugeReading reading = reading_of(follower, stop.gauge, q, turns);
    return Gap{stop_gap(stop, reading.value), direction * stop.side * slope_along(stop.gauge, reading, heading)};
  };
  SweepEnd end;
  const double size = held.mechanism.size_mm;
  double step = 0.02 * size;
  for (int i = 0; i < most_steps; ++i) {
    const Eigen::VectorXd q_before = follower.q;
    const double height_before = follower.height_mm;
    if (!advance(follower, follower.height_mm + direction * step)) {
      step /= 2;
      if (step > end_step_mm) continue;
      end.name = "dead point";
      end.links = straight_links(watched.mechanism, follower.q);
      break;
    }
    // The first watched stop that was overrun in this step, by where its gap crosses 0.
    const Watch* met = nullptr;
    double first = 2;
    bool may_graze = false;  // a gap that shrank and is small against the step may have been under 0 within it
    bool dips = false;       // by its slopes, which tell more where no inner freedom goes its own way
    for (Watch& watch : watches) {
      const double before = gap_at(watch, q_before), after = gap_at(watch, follower.q);
      if (!watch.armed) {
        // Met from the start: a way that overruns it at once has no length; one that leaves it arms it.
        if (after > met_mm)
          watch.armed = true;
        else if (after < -met_mm && !inner) {
          met = &watch;
          first = 0;
        }
        continue;
      }
      if (after >= 0) {
        if (watch.nears && std::min(before, after) < 0.5 * step) may_graze = true;
        if (!inner && step > dip_share * size) {
          find_heading(follower);
          dips = dips || may_dip(sloped_gap_at(watch, q_before, follower.past_heading),
                                 sloped_gap_at(watch, follower.q, follower.heading), step);
        }
        continue;
      }
      const double at = before / (before - after);
      if (at < first) {
        first = at;
        met = &watch;
      }
    }
    const auto go_back = [&] {
      follower.q = q_before;
      follower.height_mm = height_before;
      follower.heading_known = false;
      follower.has_past = false;
    };
    if (!met) {
      const double fine = (dips ? dip_share : finest_share) * size;
      if ((may_graze || dips) && step > fine) {
        go_back();
        step = std::max(step / 4, fine);
        continue;
      }
      for (Watch& watch : watches) watch.nears = watch.armed && gap_at(watch, follower.q) < gap_at(watch, q_before);
      step = std::min(1.5 * step, longest_share * size);
      continue;
    }
    if (first <= 0) {
      go_back();
      end.name = held.mechanism.stops[met->stop].name;
      break;
    }
    // Root of the gap between the two heights: secant steps, kept inside by bisection (Illinois).
    double low = height_before, high = follower.height_mm;
    double gap_low = gap_at(*met, q_before), gap_high = gap_at(*met, follower.q);
    bool lost = false;  // near a dead point the way between the two may be too far for one step
    for (int k = 0; k < 60 && std::abs(high - low) > 1e-13 * (1 + std::abs(high)); ++k) {
      const double middle = low + (high - low) * gap_low / (gap_low - gap_high);
      go_back();
      if (middle == height_before) break;
      if (!advance(follower, middle)) {
        lost = true;
        break;
      }
      const double gap = gap_at(*met, follower.q);
      if (std::abs(gap) < 1e-12) break;
      if (gap > 0) {
        low = middle;
        gap_low = gap;
        gap_high *= 0.5;
      } else {
        high = middle;
        gap_high = gap;
        gap_low *= 0.5;
      }
    }
    // Another stop may be met a little earlier than the straight line between the two heights told.
    bool earlier = false;
    for (Watch& watch : watches)
      if (&watch != met && watch.armed && gap_at(watch, follower.q) < -1e-10) earlier = true;
    if (earlier || (lost && step > end_step_mm)) {
      go_back();
      step /= 4;
      continue;
    }
    end.name = held.mechanism.stops[met->stop].name;
    break;
  }
  end.q = follower.q;
  end.height_mm = follower.height_mm;
  return end;
}

}  // namespace ridepitch
