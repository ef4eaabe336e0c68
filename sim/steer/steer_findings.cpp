#include "steer/steer_findings.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "words/listed.hpp"

namespace ridepitch {
namespace {

using Findings = std::vector<Finding>;

const char* unit_of(const Steering& steering) { return steering.crank ? "degrees" : "mm"; }
const char* way_of(const Steering& steering) { return steering.crank ? "range" : "stroke"; }

/// "at 12.0 mm" of an end.
std::string at_end(const Steering& steering, std::size_t e) {
  return fmt::format("at {:.1f} {}", steering.range[e], unit_of(steering));
}

bool own_dead_point(const Steering& steering, std::size_t e) { return steering.ends[e] == "dead point"; }

void judge_ends(const Steering& steering, Findings& found) {
  for (std::size_t e = 0; e < 2; ++e) {
    if (own_dead_point(steering, e)) {
      const std::string how_far =
          steering.wanted[e] ? fmt::format("its {} goes to {:.1f} {}, but {:.1f} is as far as the rods can follow",
                                           way_of(steering), *steering.wanted[e], unit_of(steering), steering.range[e])
                             : fmt::format("nothing stops it before a dead point {}", at_end(steering, e));
      found.push_back({.level = Level::problem,
                       .code = "stroke-not-followed",
                       .where = steering.name,
                       .text = fmt::format("{}: there {} lie in one line", how_far, listed(steering.end_parts[e])),
                       .remedy = fmt::format(
                           "a shorter {}, longer steering arms, or a rod that meets its arm nearer to a right angle",
                           way_of(steering))});
    } else if (steering.ends[e] == "contact") {
      found.push_back(
          {.level = Level::warning,
           .code = "lock-by-contact",
           .where = steering.name,
           .text = fmt::format("{} {} meet, and stop the wheels", at_end(steering, e), listed(steering.end_parts[e])),
           .remedy = "let a stop end the way before they meet, put one of them on another layer, or move its holes"});
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
  found.push_back(
      {.level = Level::warning,
       .code = "near-dead-point",
       .where = steering.name,
       .text =
           fmt::format("{}{} a rod is {:.1f} degrees from standing square to the way that its end moves, under {:g}",
                       at_end(steering, *worse), ends == 2 ? ", and nearly so at the other end," : "",
                       *steering.rod_margin_deg[*worse], limits.rod_margin_deg),
       .remedy = fmt::format("a shorter {}, longer steering arms, or a rod that meets its arm nearer to a right angle",
                             way_of(steering))});
}

void judge_wheels(const Steering& steering, const SteerLimits& limits, Findings& found) {
  for (const SteeredWheel& wheel : steering.wheels) {
    const std::string where = steering.name + "/" + wheel.name;
    if (std::max(std::abs(wheel.lock_deg[0]), std::abs(wheel.lock_deg[1])) < limits.still_deg) {
      found.push_back(
          {.level = Level::problem,
           .code = "not-turned",
           .where = where,
           .text = fmt::format("it turns by {:.2f} and {:.2f} degrees only, from one end of the drive to the other",
                               wheel.lock_deg[0], wheel.lock_deg[1]),
           .remedy = "tie its body to the drive with a rod, off the pin that it turns about"});
    }
    if (std::abs(wheel.toe_deg) > limits.toe_deg) {
      const bool backwards = std::abs(wheel.toe_deg) > 90;
      found.push_back(
          {.level = Level::warning,
           .code = "points-aside",
           .where = where,
           .text = fmt::format("with the drive at 0 it points {:.1f} degrees to the {}, over {:g}",
                               std::abs(wheel.toe_deg), wheel.toe_deg > 0 ? "left" : "right", limits.toe_deg),
           .remedy = backwards
                         ? "its 'ahead' points backwards: turn its sign round"
                         : "a tie rod of another length, or its hole moved: the wheels should point straight ahead"});
    }
  }
}

/// The wheels of an axle turn to different sides at one place of the drive.
void judge_opposite(const Steering& steering, const SteerLimits& limits, Findings& found) {
  double worst = 0;
  const SteerPoint* where = nullptr;
  std::array<std::size_t, 2> pair{};
  for (const SteerPoint& point : steering.curve)
    for (std::size_t i = 0; i < steering.wheels.size(); ++i)
      for (std::size_t j = i + 1; j < steering.wheels.size(); ++j) {
        const Vec2 &a = steering.wheels[i].centre_mm, &b = steering.wheels[j].centre_mm;
        if (a.y() * b.y() >= 0 || std::abs(a.x() - b.x()) > std::abs(a.y() - b.y()) / 2) continue;  // not of one axle
        const double one = point.steer_deg[i], other = point.steer_deg[j];
        const double least = std::min(std::abs(one), std::abs(other));
        if (one * other >= 0 || least <= std::max(worst, limits.opposite_deg)) continue;
        worst = least;
        where = &point;
        pair = {i, j};
      }
  if (!where) return;
  found.push_back(
      {.level = Level::problem,
       .code = "turns-opposite",
       .where = steering.name,
       .text = fmt::format("at {:.1f} {} wheel {} turns {:+.1f} and wheel {} {:+.1f} degrees, to opposite sides",
                           where->drive, unit_of(steering), steering.wheels[pair[0]].name, where->steer_deg[pair[0]],
                           steering.wheels[pair[1]].name, where->steer_deg[pair[1]]),
       .remedy = "turn the steering arm of one of them to the other side of its kingpin, or take its rod to the other "
                 "end of the rack"});
}

/// The error is judged over the half of the lock that is driven most, and at its greatest.
void judge_error(const Steering& steering, const SteerLimits& limits, Findings& found) {
  if (!steering.worst_error_deg) return;
  const double most = std::abs(*steering.worst_error_deg);
  if (most > limits.error_deg) {
    found.push_back(
        {.level = Level::warning,
         .code = "off-ideal-angles",
         .where = steering.name,
         .text = fmt::format("at {:.1f} {} the outer wheel turns {:.1f} degrees too {}, over {:g}: the tyres scrub",
                             *steering.worst_error_at, unit_of(steering), most,
                             *steering.worst_error_deg > 0 ? "far" : "little", limits.error_deg),
         .remedy = *steering.worst_error_deg > 0
                       ? "steering arms that point more towards the middle of the unsteered axle"
                       : "steering arms that point less towards the middle of the unsteered axle"});
  }
  double lock = 0;
  for (const auto& inner : steering.inner_lock_deg) lock = std::max(lock, inner.value_or(0));
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
  if (near > limits.centre_error_deg && near > far) {
    found.push_back(
        {.level = Level::warning,
         .code = "error-at-small-angles",
         .where = steering.name,
         .text = fmt::format("its error is {:.2f} degrees where the inner wheel turns by {:.1f}, and at most {:.2f} "
                             "beyond half its lock",
                             near, near_turn, far),
         .remedy =
             "it is driven most near the middle: choose arms and rod for the small angles, and let full lock be off"});
  }
}

void judge_sides(const Steering& steering, const SteerLimits& limits, Findings& found) {
  const auto &left = steering.inner_lock_deg[0], &right = steering.inner_lock_deg[1];
  if (left.has_value() != right.has_value()) {
    found.push_back({.level = Level::warning,
                     .code = "unequal-lock",
                     .where = steering.name,
                     .text = fmt::format("it turns to the {} only, by {:.1f} degrees", left ? "left" : "right",
                                         left ? *left : *right),
                     .remedy = fmt::format("the drive's 0 in the middle of its {}", way_of(steering))});
  }
  if (!left || !right) return;
  const double greater = std::max(*left, *right), smaller = std::min(*left, *right);
  if (greater - smaller <= limits.unequal_share * greater) return;
  found.push_back(
      {.level = Level::warning,
       .code = "unequal-lock",
       .where = steering.name,
       .text = fmt::format(
           "its inner wheel turns {:.1f} degrees in a turn to the left and {:.1f} to the right, over {:g} % apart",
           *left, *right, 100 * limits.unequal_share),
       .remedy = fmt::format("the drive's 0 in the middle of its {}, and rods of one length on both sides",
                             way_of(steering))});
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

void judge_bump(const Steering& steering, const SteerLimits& limits, Findings& found) {
  for (const BumpSteer& wheel : steering.bump) {
    if (!wheel.straight) continue;
    const double slope = wheel.straight->rest_slope_deg_per_10mm;
    if (std::abs(slope) > limits.bump_deg_per_10mm) {
      found.push_back(
          {.level = Level::warning,
           .code = "steers-in-bump",
           .where = name_of(wheel, steering),
           .text = fmt::format("it turns by {:.1f} degrees to the {} for each 10 mm that it rises, over {:g}",
                               std::abs(slope), slope > 0 ? "left" : "right", limits.bump_deg_per_10mm),
           .remedy = without_slope(wheel)});
    } else if (const BumpPoint most = farthest_turned(*wheel.straight); std::abs(most.toe_deg) > limits.bump_toe_deg) {
      const double from_rest_mm = most.travel_mm - wheel.straight->rest_travel_mm;
      found.push_back(
          {.level = Level::warning,
           .code = "steers-in-bump",
           .where = name_of(wheel, steering),
           .text = fmt::format("{:.1f} mm {} rest it points {:.1f} degrees to the {}, over {:g}",
                               std::abs(from_rest_mm), from_rest_mm > 0 ? "above" : "below", std::abs(most.toe_deg),
                               most.toe_deg > 0 ? "left" : "right", limits.bump_toe_deg),
           .remedy = "a longer tie rod, a longer steering arm, or less travel"});
    }
    const std::array<const std::optional<BumpCurve>*, 3> curves{&wheel.straight, &wheel.lock[0], &wheel.lock[1]};
    for (std::size_t i = 0; i < curves.size(); ++i) {
      if (!*curves[i] || !((*curves[i])->rod_ends_droop || (*curves[i])->rod_ends_bump)) continue;
      const BumpCurve& curve = **curves[i];
      const std::string at = i == 0 ? "straight ahead" : at_end(steering, i - 1);
      const double end = curve.points.empty()  ? curve.rest_travel_mm
                         : curve.rod_ends_bump ? curve.points.back().travel_mm
                                               : curve.points.front().travel_mm;
      found.push_back(
          {.level = Level::problem,
           .code = "tie-rod-binds",
           .where = name_of(wheel, steering),
           .text = fmt::format("{} its tie rod reaches {} {:.1f} mm of travel: beyond, the parts do not go together",
                               at, curve.rod_ends_bump ? "up to" : "down to", end),
           .remedy =
               "a longer tie rod, its inner end nearer to the height of the outer one, or a limit on the travel"});
      break;
    }
  }
}

void judge_room(const Steering& steering, Findings& found) {
  if (!steering.room || steering.room->clear) return;
  std::string clears = "no lock clears it: something touches straight ahead";
  if (const auto& drive = steering.room->clear_drive)
    clears =
        fmt::format("a range from {:.1f} to {:.1f} {} would still clear", (*drive)[0], (*drive)[1], unit_of(steering));
  for (const LeastGap& gap : steering.room->gaps) {
    if (gap.gap_mm >= 0) continue;
    std::string where = fmt::format("at {:.1f} {}", gap.drive, unit_of(steering));
    if (gap.travel_mm) where += fmt::format(" and {:.1f} mm of travel", *gap.travel_mm);
    found.push_back({.level = Level::problem,
                     .code = "no-room",
                     .where = gap.wheel,
                     .text = fmt::format("its tyre and {} '{}' run {:.1f} mm into each other {}; {}",
                                         gap.box ? "keepout" : "the tyre of", gap.against, -gap.gap_mm, where, clears),
                     .remedy = "less lock, less travel, a smaller or narrower tyre, or more room beside it"});
  }
}

}  // namespace

std::vector<Finding> judge_steering(const std::vector<Steering>& all, const SteerLimits& limits) {
  Findings found;
  for (const Steering& steering : all) {
    judge_ends(steering, found);
    judge_margins(steering, limits, found);
    judge_wheels(steering, limits, found);
    judge_opposite(steering, limits, found);
    judge_error(steering, limits, found);
    judge_sides(steering, limits, found);
    judge_bump(steering, limits, found);
    judge_room(steering, found);
  }
  return found;
}

}  // namespace ridepitch
