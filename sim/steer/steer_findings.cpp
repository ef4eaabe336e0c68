#include "steer/steer_findings.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "words/listed.hpp"

namespace ridepitch {
namespace {

using Findings = std::vector<Finding>;

void tell(Findings& found, Level level, const char* code, std::string where, std::string text, std::string remedy) {
  found.push_back({level, code, std::move(where), std::move(text), std::move(remedy)});
}

const char* unit_of(const Steering& steering) { return steering.crank ? "degrees" : "mm"; }
const char* stroke_word(const Steering& steering) { return steering.crank ? "range" : "stroke"; }
const char* side_word(double left) { return left > 0 ? "left" : "right"; }

/// "at 12.0 mm"
std::string at_drive(const Steering& steering, double drive) {
  return fmt::format("at {:.1f} {}", drive, unit_of(steering));
}

std::string farther_from_a_dead_point(const Steering& steering) {
  return fmt::format("a shorter {}, longer steering arms, or a rod that meets its arm nearer to a right angle",
                     stroke_word(steering));
}

bool own_dead_point(const Steering& steering, std::size_t e) { return steering.ends[e] == "dead point"; }

void judge_ends(const Steering& steering, Findings& found) {
  for (std::size_t e = 0; e < 2; ++e) {
    const std::string at = at_drive(steering, steering.range[e]), parts = listed(steering.end_parts[e]);
    if (own_dead_point(steering, e)) {
      const std::string how_far =
          steering.wanted[e]
              ? fmt::format("its {} goes to {:.1f} {}, but {:.1f} is as far as the rods can follow",
                            stroke_word(steering), *steering.wanted[e], unit_of(steering), steering.range[e])
              : "nothing stops it before a dead point " + at;
      tell(found, Level::problem, "stroke-not-followed", steering.name,
           fmt::format("{}: there {} lie in one line", how_far, parts), farther_from_a_dead_point(steering));
    } else if (steering.ends[e] == search_limit) {
      tell(found, Level::note, "range-not-sure", steering.name,
           fmt::format("the search for what ends its {} stopped {}: it may go farther", stroke_word(steering), at),
           "give its drive a stroke or a range");
    } else if (steering.ends[e] == "contact") {
      tell(found, Level::warning, "lock-by-contact", steering.name,
           fmt::format("{} {} meet, and stop the wheels", at, parts),
           "let a stop end the travel before they meet, put one of them on another layer, or move its holes");
    }
  }
}

/// A rod that is nearly in line with its arm at an end of the range; of both ends the worse.
void judge_margins(const Steering& steering, const SteerLimits& limits, Findings& found) {
  std::optional<std::size_t> worse;
  int ends = 0;
  for (std::size_t e = 0; e < 2; ++e) {
    const auto& margin = steering.rod_margin_deg[e];
    if (own_dead_point(steering, e) || !margin || *margin >= limits.rod_margin_deg) continue;
    ++ends;
    if (!worse || *margin < *steering.rod_margin_deg[*worse]) worse = e;
  }
  if (!worse) return;
  tell(found, Level::warning, "near-dead-point", steering.name,
       fmt::format("{}{} a rod is {:.1f} degrees from being perpendicular to the path of its end, under {:g}",
                   at_drive(steering, steering.range[*worse]), ends == 2 ? ", and nearly so at the other end," : "",
                   *steering.rod_margin_deg[*worse], limits.rod_margin_deg),
       farther_from_a_dead_point(steering));
}

void judge_middle(const Steering& steering, Findings& found) {
  const auto& wheels = steering.wheels;
  if (std::all_of(wheels.begin(), wheels.end(), [](const SteeredWheel& w) { return std::isfinite(w.rate_deg); }))
    return;
  tell(found, Level::problem, "near-dead-point", steering.name,
       at_drive(steering, 0) + " rods and arms lie in one line, a dead point: there is no rate, ratio or effort there",
       farther_from_a_dead_point(steering));
}

void judge_wheels(const Steering& steering, const SteerLimits& limits, Findings& found) {
  for (const SteeredWheel& wheel : steering.wheels) {
    const std::string where = steering.name + "/" + wheel.name;
    if (std::max(std::abs(wheel.lock_deg[0]), std::abs(wheel.lock_deg[1])) < limits.still_deg)
      tell(found, Level::problem, "not-turned", where,
           fmt::format("it turns by {:.2f} and {:.2f} degrees only, from one end of the drive to the other",
                       wheel.lock_deg[0], wheel.lock_deg[1]),
           "tie its body to the drive with a rod, off the pin that it turns about");
    const double toe = std::abs(wheel.toe_deg);
    if (toe > limits.toe_deg)
      tell(found, Level::warning, "points-aside", where,
           fmt::format("with the drive at 0 it points {:.1f} degrees to the {}, over {:g}", toe,
                       side_word(wheel.toe_deg), limits.toe_deg),
           toe > 90 ? "its 'ahead' points backwards: turn its sign round"
                    : "a tie rod of another length, or its hole moved: the wheels should point straight ahead");
  }
}

bool of_one_axle(const SteeredWheel& one, const SteeredWheel& other) {
  const Vec2 &a = one.centre_mm, &b = other.centre_mm;
  return a.y() * b.y() < 0 && std::abs(a.x() - b.x()) <= std::abs(a.y() - b.y()) / 2;
}

/// The wheels of an axle turn to different sides at one place of the drive.
void judge_opposite(const Steering& steering, const SteerLimits& limits, Findings& found) {
  double worst = limits.opposite_deg;
  std::string text;
  for (const SteerPoint& point : steering.curve)
    for (std::size_t i = 0; i < steering.wheels.size(); ++i)
      for (std::size_t j = i + 1; j < steering.wheels.size(); ++j) {
        const double one = point.steer_deg[i], other = point.steer_deg[j];
        const double least = std::min(std::abs(one), std::abs(other));
        if (one * other >= 0 || least <= worst || !of_one_axle(steering.wheels[i], steering.wheels[j])) continue;
        worst = least;
        text =
            fmt::format("{} wheel {} turns {:+.1f} and wheel {} {:+.1f} degrees, to opposite sides",
                        at_drive(steering, point.drive), steering.wheels[i].name, one, steering.wheels[j].name, other);
      }
  if (text.empty()) return;
  tell(found, Level::problem, "turns-opposite", steering.name, text,
       "turn the steering arm of one of them to the other side of its kingpin, or take its rod to the other end of the "
       "rack");
}

void judge_worst_error(const Steering& steering, const SteerLimits& limits, Findings& found) {
  const double worst = steering.worst_error_deg.value_or(0);
  if (std::abs(worst) <= limits.error_deg) return;
  tell(
      found, Level::warning, "off-ideal-angles", steering.name,
      fmt::format("{} the outer wheel turns {:.1f} degrees too {}, over {:g}: the tyres scrub",
                  at_drive(steering, *steering.worst_error_at), std::abs(worst), worst > 0 ? "far" : "little",
                  limits.error_deg),
      fmt::format("steering arms that point {} towards the middle of the unsteered axle", worst > 0 ? "more" : "less"));
}

/// Over the half of the lock that is driven most.
void judge_error_near_centre(const Steering& steering, const SteerLimits& limits, Findings& found) {
  const double lock = std::max(steering.inner_lock_deg[0].value_or(0), steering.inner_lock_deg[1].value_or(0));
  double near = 0, near_turn = 0, far = 0;
  for (const SteerPoint& point : steering.curve) {
    if (!point.ackermann_error_deg) continue;
    double turn = 0;
    for (const double angle : point.steer_deg) turn = std::max(turn, std::abs(angle));
    const double error = std::abs(*point.ackermann_error_deg);
    if (turn > lock / 2) {
      far = std::max(far, error);
    } else if (error > near) {
      near = error;
      near_turn = turn;
    }
  }
  if (near <= std::max(limits.centre_error_deg, far)) return;
  tell(found, Level::warning, "error-at-small-angles", steering.name,
       fmt::format("its error is {:.2f} degrees where the inner wheel turns by {:.1f}, and at most {:.2f} beyond half "
                   "its lock",
                   near, near_turn, far),
       "it is driven most near the middle: choose arms and rod for the small angles, and let full lock be off");
}

void judge_sides(const Steering& steering, const SteerLimits& limits, Findings& found) {
  const auto& [left, right] = steering.inner_lock_deg;
  const std::string centred = fmt::format("the drive's 0 in the middle of its {}", stroke_word(steering));
  if (left.has_value() != right.has_value())
    tell(found, Level::warning, "unequal-lock", steering.name,
         fmt::format("it turns to the {} only, by {:.1f} degrees", left ? "left" : "right", left ? *left : *right),
         centred);
  if (!left || !right || std::abs(*left - *right) <= limits.unequal_share * std::max(*left, *right)) return;
  tell(found, Level::warning, "unequal-lock", steering.name,
       fmt::format(
           "its inner wheel turns {:.1f} degrees in a turn to the left and {:.1f} to the right, over {:g} % apart",
           *left, *right, 100 * limits.unequal_share),
       centred + ", and rods of one length on both sides");
}

const std::string& name_of(const BumpSteer& wheel, const Steering& steering) {
  return wheel.same_as.empty() ? steering.name : wheel.same_as;
}

std::string without_slope(const BumpSteer& wheel) {
  const char* const most = "arms and tie rod as long and as level as each other, seen along the car";
  if (!wheel.zero) return most;
  const auto& upright = wheel.zero->upright;
  const InnerEnd& there = upright ? *upright : wheel.zero->exact;
  const double up = there.height - wheel.zero->now.height;
  if (upright && std::abs(up) < 10)
    return fmt::format("the inner end of rod '{}' {:.2f} modules {}, at a height of {:.2f}: there the slope is 0",
                       wheel.rod, std::abs(up), up > 0 ? "higher" : "lower", there.height);
  return fmt::format(
      "the inner end of rod '{}' at [{:.2f}, {:.2f}] of its body and a height of {:.2f}: there the slope is 0",
      wheel.rod, wheel.zero->exact.hole.x(), wheel.zero->exact.hole.y(), wheel.zero->exact.height);
}

/// Where in the travel it points farthest from where it points at rest.
BumpPoint farthest_turned(const BumpCurve& curve) {
  BumpPoint most;
  for (const BumpPoint& point : curve.points)
    if (std::abs(point.toe_deg) > std::abs(most.toe_deg)) most = point;
  return most;
}

void judge_bump_steer(const Steering& steering, const BumpSteer& wheel, const SteerLimits& limits, Findings& found) {
  const std::string& where = name_of(wheel, steering);
  if (wheel.dead_point)
    tell(found, Level::problem, "near-dead-point", where,
         "straight ahead at rest its tie rod and its steering arm lie in one line, a dead point: its bump steer "
         "can't be told, and it can turn to either side",
         "move the rod's end on the knuckle, so that rod and arm meet nearer to a right angle");
  if (!wheel.straight) return;
  const double slope = wheel.straight->rest_slope_deg_per_10mm;
  if (std::abs(slope) > limits.bump_deg_per_10mm) {
    tell(found, Level::warning, "steers-in-bump", where,
         fmt::format("it turns by {:.1f} degrees to the {} for each 10 mm that it rises, over {:g}", std::abs(slope),
                     side_word(slope), limits.bump_deg_per_10mm),
         without_slope(wheel));
  } else if (const BumpPoint most = farthest_turned(*wheel.straight); std::abs(most.toe_deg) > limits.bump_toe_deg) {
    const double from_rest_mm = most.travel_mm - wheel.straight->rest_travel_mm;
    tell(found, Level::warning, "steers-in-bump", where,
         fmt::format("{:.1f} mm {} rest it points {:.1f} degrees to the {}, over {:g}", std::abs(from_rest_mm),
                     from_rest_mm > 0 ? "above" : "below", std::abs(most.toe_deg), side_word(most.toe_deg),
                     limits.bump_toe_deg),
         "a longer tie rod, a longer steering arm, or less travel");
  }
}

/// Told once a wheel: straight ahead, else at the first lock where its rod binds.
void judge_tie_rod(const Steering& steering, const BumpSteer& wheel, Findings& found) {
  const std::array<const std::optional<BumpCurve>*, 3> curves{&wheel.straight, &wheel.lock[0], &wheel.lock[1]};
  for (std::size_t i = 0; i < curves.size(); ++i) {
    const std::optional<BumpCurve>& curve = *curves[i];
    if (!curve || !(curve->rod_ends_droop || curve->rod_ends_bump)) continue;
    const std::string at = i == 0 ? "straight ahead" : at_drive(steering, steering.range[i - 1]);
    const double end = curve->points.empty()  ? curve->rest_travel_mm
                       : curve->rod_ends_bump ? curve->points.back().travel_mm
                                              : curve->points.front().travel_mm;
    tell(found, Level::problem, "tie-rod-binds", name_of(wheel, steering),
         fmt::format("{} its tie rod reaches {} {:.1f} mm of travel: beyond, the parts do not go together", at,
                     curve->rod_ends_bump ? "up to" : "down to", end),
         "a longer tie rod, its inner end nearer to the height of the outer one, or a limit on the travel");
    return;
  }
}

void judge_clearance(const Steering& steering, Findings& found) {
  if (!steering.clearance) return;
  const LockClearance& clearance = *steering.clearance;
  if (!clearance.complete) {
    double less_mm = 0;
    for (const LeastGap& gap : clearance.gaps) less_mm = std::max(less_mm, gap.gap_mm - gap.bound_mm);
    tell(found, Level::note, "clearance-not-sure", steering.name,
         std::isfinite(less_mm)
             ? fmt::format("the search for its lock clearance stopped early: a gap may be {:.1f} mm less than told",
                           less_mm)
             : "the search for its lock clearance stopped early: a gap may be less than told",
         "fewer keepouts within reach of the tyres, or look at the places that are told by hand");
  }
  if (clearance.clear) return;
  std::string clears = "no lock clears it: something touches straight ahead";
  if (const auto& drive = clearance.clear_drive)
    clears = fmt::format("a range from {:.1f} to {:.1f} {} would still clear{}", (*drive)[0], (*drive)[1],
                         unit_of(steering), clearance.complete ? "" : ", as far as was searched");
  for (const LeastGap& gap : clearance.gaps) {
    if (gap.gap_mm >= 0) continue;
    std::string where = at_drive(steering, gap.drive);
    if (gap.travel_mm) where += fmt::format(" and {:.1f} mm of travel", *gap.travel_mm);
    tell(found, Level::problem, "no-room", gap.wheel,
         fmt::format("its tyre and {} '{}' run {:.1f} mm into each other {}; {}", gap.box ? "keepout" : "the tyre of",
                     gap.against, -gap.gap_mm, where, clears),
         "less lock, less travel, a smaller or narrower tyre, or more room beside it");
  }
}

}  // namespace

std::vector<Finding> judge_steering(const std::vector<Steering>& all, const SteerLimits& limits) {
  Findings found;
  for (const Steering& steering : all) {
    judge_ends(steering, found);
    judge_margins(steering, limits, found);
    judge_middle(steering, found);
    judge_wheels(steering, limits, found);
    judge_opposite(steering, limits, found);
    judge_worst_error(steering, limits, found);
    judge_error_near_centre(steering, limits, found);
    judge_sides(steering, limits, found);
    for (const BumpSteer& wheel : steering.bump) {
      judge_bump_steer(steering, wheel, limits, found);
      judge_tie_rod(steering, wheel, found);
    }
    judge_clearance(steering, found);
  }
  return found;
}

}  // namespace ridepitch
