#include "linkage/follow.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

#include "linkage/roots.hpp"
#include "model/index.hpp"

namespace ridepitch {
namespace {

// Steps, as shares of the linkage's size.
constexpr double first_share = 0.02;
constexpr double longest_share = 0.06;
constexpr double finest_share = 0.002;  // beside a gap that has nearly closed
constexpr double dip_share = 1e-5;      // the same, where the tangents at both ends meet under 0
constexpr double growth = 1.5;          // of a step after one that went well
constexpr int most_path_steps = 3000;

constexpr double longest_correction = 0.5;  // of a predicted step: a longer one leads to another path
constexpr double longest_settling = 0.3;    // of the size, that inner freedoms may move in one step
constexpr double longest_reach_back = 2.5;  // of the step before: a cubic drawn out farther strays more than a line
constexpr double rounding_mm = 1e-9;        // added to such limits

constexpr double opened = 1e-9;       // a gap over it is open [mm or rad]
constexpr double closed_at_0 = 1e-7;  // a gap under it is closed at the start: as close as assembly comes
constexpr double overrun = 1e-10;     // a gap under its negative was run over before another closed
constexpr double met = 1e-12;         // a gap so small is 0

constexpr double no_value = std::numeric_limits<double>::quiet_NaN();

void set_target(Follower& follower, double s) { at(follower.mechanism.ties, follower.tie).target = s; }

void find_heading(Follower& follower, PathPlace& place) {
  if (place.has_heading) return;
  linearise(follower.mechanism, place.q, follower.closure);
  follow_tie(follower.tie, follower.closure, place.heading);
  place.side = follower.closure.part.det_sign;
  place.has_heading = true;
}

// Where the path leads: the cubic through here and the place before, with both headings; straight on at the start.
void predict(Follower& follower, double s) {
  const PathPlace &here = follower.here, &past = follower.past;
  const double step = s - here.s, before = here.s - past.s;
  if (!follower.has_past || !(step / before > 0) || step / before > longest_reach_back) {
    follower.predicted = here.q + step * here.heading;
    return;
  }
  // Hermite's polynomials over t, which is 0 at the place before and 1 here.
  const double t = 1 + step / before;
  const double h00 = (2 * t - 3) * t * t + 1, h10 = ((t - 2) * t + 1) * t, h01 = (3 - 2 * t) * t * t,
               h11 = (t - 1) * t * t;
  follower.predicted = h00 * past.q + before * h10 * past.heading + h01 * here.q + before * h11 * here.heading;
}

// Whether the trial can be closed and lies on the same path.
bool reaches(Follower& follower, double s) {
  const Mechanism& mechanism = follower.mechanism;
  const PathPlace& here = follower.here;
  PathPlace& trial = follower.trial;
  if (!close(mechanism, trial.q, follower.closure)) return false;
  const double length = distance_mm(mechanism, follower.predicted, here.q);
  if (distance_mm(mechanism, trial.q, follower.predicted) > longest_correction * length + rounding_mm) return false;
  const bool square = follower.closure.J.rows() == follower.closure.J.cols();
  if (square && follower.closure.part.det_sign != here.side)
    return false;  // past a dead point, on the other side of it
  if (follower.settle) {
    if (!follower.settle(mechanism, trial.q, follower.active)) return false;
    if (distance_mm(mechanism, trial.q, here.q) > longest_settling * mechanism.size_mm) return false;
  }
  if (follower.most_bend > 0) {
    constexpr double rounding_of_mean_mm = 1e-12;
    find_heading(follower, trial);
    if (!trial.heading.allFinite() || (square && trial.side != here.side)) return false;
    const double bend = motion_mm(mechanism, trial.q - here.q - 0.5 * (s - here.s) * (here.heading + trial.heading));
    if (bend > follower.most_bend * length + rounding_of_mean_mm) return false;
  }
  return true;
}

}  // namespace

Follower follow(const Mechanism& mechanism, int tie, const Eigen::VectorXd& from) {
  Follower follower;
  follower.mechanism = mechanism;
  follower.tie = tie;
  follower.here.q = from;
  follower.here.heading.setZero(from.size());
  follower.past = follower.trial = follower.here;
  prepare(mechanism, follower.closure);
  follower.here.s = read(at(mechanism.ties, tie).gauge, from, turns_at(from)).value;
  set_target(follower, follower.here.s);
  return follower;
}

void find_heading(Follower& follower) { find_heading(follower, follower.here); }

bool advance(Follower& follower, double s) {
  find_heading(follower);
  predict(follower, s);
  follower.trial.q = follower.predicted;
  follower.trial.has_heading = false;
  set_target(follower, s);
  if (!reaches(follower, s)) {
    set_target(follower, follower.here.s);
    return false;
  }
  std::swap(follower.past, follower.here);
  std::swap(follower.here, follower.trial);
  follower.here.s = s;
  follower.has_past = true;
  return true;
}

bool go_to(Follower& follower, double s) {
  constexpr int most_parts = 2000;
  constexpr double least_share = 1e-15;  // so small a part of the path is lost in rounding
  double step = s - follower.here.s;
  for (int i = 0; i < most_parts && follower.here.s != s; ++i) {
    const double left = s - follower.here.s;
    const bool last = std::abs(step) >= std::abs(left);
    if (last) step = left;
    if (advance(follower, last ? s : follower.here.s + step))
      step *= growth;
    else if (std::abs(step /= 2) < least_share * std::max(1.0, std::abs(s)))
      break;
  }
  return follower.here.s == s;
}

void put(Follower& follower, const PathPlace& place) {
  follower.here = place;
  follower.here.heading.resize(place.q.size());
  follower.has_past = false;
  set_target(follower, place.s);
}

// ------------------------------------------------------------------------------- to what ends it

namespace {

Watch::Gap gap_here(Follower& follower, const Watch& watch, int direction) {
  const PathPlace& here = follower.here;
  if (!watch.stop) return {watch.own_gap(here.q), 0};
  const Stop& stop = *watch.stop;
  const GaugeReading reading = read(stop.gauge, here.q, follower.closure.turns);
  Watch::Gap gap{stop_gap(stop, reading.value), 0};
  if (here.has_heading) gap.slope = direction * stop.side * slope_along(stop.gauge, reading, here.heading);
  return gap;
}

// Turns for `gap_here`, and the heading where slopes tell something: inner freedoms move by themselves.
void look_around(Follower& follower) {
  if (!follower.settle) find_heading(follower);
  set_turns(follower.here.q, follower.closure.turns);
}

// Whether a gap may have been under 0 within a step: it closes from both ends, and the tangents there meet under 0.
bool may_dip(const Watch::Gap& before, const Watch::Gap& after, double step) {
  if (before.slope >= 0 || after.slope <= 0) return false;
  const double to_meet = (after.value - after.slope * step - before.value) / (before.slope - after.slope);
  return before.value + before.slope * to_meet < 0;
}

// What the gaps did in a step.
struct Passed {
  int watch = -1;       // the first that was run over, by where the straight line between its two gaps is 0
  double share = 2;     // of the step, up to there; 0: at once
  bool grazes = false;  // one that shrank is small against the step: it may have been under 0 within it
  bool dips = false;    // so its slopes tell
};

Passed pass(Follower& follower, std::vector<Watch>& watches, int direction, double step, double reach_mm) {
  Passed passed;
  const bool inner = follower.settle != nullptr;
  look_around(follower);
  for (int i = 0; i < count(watches); ++i) {
    Watch& watch = at(watches, i);
    watch.next = gap_here(follower, watch, direction);
    const double before = watch.now.value, after = watch.next.value;
    double share = 2;
    if (!watch.armed) {
      // A stop that is met at the start and would be run over at once leaves no path; parts that overlap are shown so.
      if (after < -closed_at_0 && watch.stop && !inner) share = 0;
      watch.armed = after > opened;
    } else if (after < 0) {
      share = before / (before - after);
    } else {
      passed.grazes = passed.grazes || (watch.nears && std::min(before, after) < 0.5 * reach_mm);
      passed.dips = passed.dips || (watch.stop && !inner && reach_mm > dip_share * follower.mechanism.size_mm &&
                                    may_dip(watch.now, watch.next, step));
    }
    if (share < passed.share) {
      passed.share = share;
      passed.watch = i;
    }
  }
  return passed;
}

// Goes on to where a gap is 0, between a place where it is open and here, where it was run over.
// @returns false where the path between the two was lost, or another gap closes before this one
bool go_to_gap(Follower& follower, const std::vector<Watch>& watches, int which, const PathPlace& open, int direction) {
  const Watch& watch = at(watches, which);
  const auto gap = [&](double s) {
    put(follower, open);
    if (!advance(follower, s)) return no_value;
    set_turns(follower.here.q, follower.closure.turns);
    return gap_here(follower, watch, direction).value;
  };
  const Bracket bracket{open.s, follower.here.s, watch.now.value, watch.next.value};
  const auto s = find_zero(gap, bracket, {.width = 1e-15 * std::max(1.0, std::abs(open.s)), .value = met});
  if (!s) return false;
  if (follower.here.s != *s) put(follower, open);
  set_turns(follower.here.q, follower.closure.turns);
  return std::none_of(watches.begin(), watches.end(), [&](const Watch& other) {
    return other.armed && &other != &watch && gap_here(follower, other, direction).value < -overrun;
  });
}

}  // namespace

PathEnd follow_to_end(Follower& follower, std::vector<Watch>& watches, const PathRules& rules,
                      const std::function<void()>& visit) {
  using Why = PathEnd::Why;
  const double size = follower.mechanism.size_mm;
  double reach = first_share * size;  // how far the next step goes [mm]
  look_around(follower);
  for (Watch& watch : watches) {
    watch.now = gap_here(follower, watch, rules.direction);
    watch.armed = watch.now.value > closed_at_0;
  }
  PathPlace before;
  for (int i = 0; i < most_path_steps; ++i) {
    if (follower.here.s == rules.limit) return {Why::limit};
    find_heading(follower);
    before = follower.here;
    const double speed = rules.by_motion ? std::max(motion_mm(follower.mechanism, before.heading), 1e-12) : 1;
    double s = before.s + rules.direction * reach / speed;
    // No tiny step is left for the end.
    const bool at_limit = rules.limit && rules.direction * (*rules.limit - s) < 1e-3 * reach / speed;
    if (at_limit) s = *rules.limit;
    if (s == before.s || !advance(follower, s)) {
      reach = 0.5 * (at_limit ? std::min(reach, std::abs(s - before.s) * speed) : reach);
      if (reach > rules.least_step_mm) continue;
      return {Why::dead_point};
    }
    const Passed passed = pass(follower, watches, rules.direction, std::abs(s - before.s), reach);
    if (passed.watch >= 0) {
      if (passed.share <= 0) {
        put(follower, before);
        return {Why::gap, passed.watch};
      }
      if (go_to_gap(follower, watches, passed.watch, before, rules.direction) || reach <= rules.least_step_mm) {
        if (visit && follower.here.s != before.s) visit();
        return {Why::gap, passed.watch};
      }
      put(follower, before);
      reach /= 4;
      continue;
    }
    const double fine = (passed.dips ? dip_share : finest_share) * size;
    if ((passed.grazes || passed.dips) && reach > fine) {
      put(follower, before);
      reach = std::max(reach / 4, fine);
      continue;
    }
    for (Watch& watch : watches) {
      watch.nears = watch.armed && watch.next.value < watch.now.value;
      watch.now = watch.next;
    }
    if (visit) visit();
    reach = std::min(growth * reach, longest_share * size);
  }
  return {};
}

bool go_to_dead_point(Follower& follower, int direction) {
  Mechanism loose = follower.mechanism;
  const Gauge gauge = at(loose.ties, follower.tie).gauge;
  loose.ties.erase(loose.ties.begin() + follower.tie);
  loose.rank -= 1;
  Closure closure;
  prepare(loose, closure);
  // The linkage's own direction at q, s growing in the sense of `direction` at the start; the slope of s along it.
  Eigen::VectorXd tangent;
  Eigen::MatrixXd T;
  const auto slope_at = [&](const Eigen::VectorXd& q) {
    linearise(loose, q, closure);
    tangents(closure.part, T);
    const Eigen::VectorXd t = T.col(0) / motion_mm(loose, T.col(0));
    const double slope = direction * slope_along(gauge, read(gauge, q, closure.turns), t);
    const bool turn_back = tangent.size() ? tangent.dot(t) < 0 : slope < 0;
    if (tangent.size() == 0) tangent = turn_back ? Eigen::VectorXd(-t) : t;
    return turn_back ? -slope : slope;
  };
  Eigen::VectorXd q = follower.here.q;
  const Eigen::VectorXd start = q;
  const auto slope_after = [&](double step) {
    q = start + step * tangent;
    return close(loose, q, closure) ? slope_at(q) : no_value;
  };
  constexpr double first_look = 1e-6, farthest_look = 0.2;  // of the size
  Bracket bracket{0, first_look * loose.size_mm, slope_at(start), 0};
  while (!((bracket.at_high = slope_after(bracket.high)) <= 0)) {
    if (std::isnan(bracket.at_high) || 2 * bracket.high > farthest_look * loose.size_mm) return false;
    bracket.low = bracket.high;
    bracket.at_low = bracket.at_high;
    bracket.high *= 2;
  }
  const auto found = find_zero(slope_after, bracket, {.width = 1e-14 * loose.size_mm, .value = 1e-14});
  if (!found) return false;
  slope_after(*found);
  follower.here.q = q;
  follower.here.s = read(gauge, q, turns_at(q)).value;
  follower.here.has_heading = false;
  return true;
}

}  // namespace ridepitch
