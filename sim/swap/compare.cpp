#include "swap/compare.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "model/index.hpp"
#include "ride/measured.hpp"
#include "ride/quantity_readers.hpp"
#include "swap/change_words.hpp"
#include "tune/evaluate.hpp"

namespace ridepitch {
namespace {

constexpr double infinite = std::numeric_limits<double>::infinity();

// What rounding may leave of a difference that is on its limit.
constexpr double rounding = 1e-9;

bool same_length(double a_mm, double b_mm) { return std::abs(a_mm - b_mm) < rounding; }

const WheelResult& wheel_at(const Results& side, const Figure& wheel) {
  return at(at(side.solution.corners, wheel.corner).wheels, wheel.wheel);
}

/// Towards a dead point the load grows without bound: there is no number, but no lack either.
bool holds_any_load(const Results& side, const Figure& figure) {
  const WheelResult& wheel = wheel_at(side, figure);
  return wheel.load_n.value_or(0) > 0 && wheel.bump_total_mm && !wheel.bump_load_n;
}

/// Modes are not there where stops hold the body, and its wheels' states tell that; a load without bound is no lack.
bool lack_is_no_fault(const Results& side, const Figure& figure) {
  return figure.what->of == Scope::vehicle || (figure.what->name == name::reserve && holds_any_load(side, figure));
}

/// How much of its tolerance a difference takes.
double share_of_tolerance(const Difference& difference) {
  if (difference.within && (!difference.tolerance || !difference.before || !difference.after)) return 0;
  if (!difference.tolerance || !difference.before || !difference.after) return infinite;
  const double change = *difference.after - *difference.before;
  if (std::abs(change) <= rounding && difference.within) return 0;
  if (change > 0 && !difference.most) return 0;
  const double allowed = change > 0 ? *difference.most - *difference.before : *difference.before - *difference.least;
  return allowed > 0 ? std::abs(change) / allowed : infinite;
}

using Differences = std::vector<Difference>;
using Figures = std::vector<Figure>;

/// What a ruler that has read the first model should read on the second.
std::optional<double> expected_on_ruler_mm(const Results& before, const Difference& difference) {
  if (difference.quantity != name::ride_height || !difference.after) return std::nullopt;
  for (const MeasuredHeight& height : before.solution.measured)
    if (height.corner == difference.corner)
      return expected_height_mm(height.measured_mm, height.computed_mm, *difference.after);
  return std::nullopt;
}

void compare_number(const Results& before, const Results& after, const Figure& here, const Figure& there,
                    const Keep& keep, Differences& out) {
  Difference difference{figure_place(before.model, here), std::string(here.what->name)};
  difference.corner = here.corner;
  difference.before = value_of(before, here);
  difference.after = value_of(after, there);
  if (!difference.before && !difference.after) return;
  difference.expected_on_ruler_mm = expected_on_ruler_mm(before, difference);
  if (const auto may_be = difference.before ? allowed(*here.what, *difference.before, keep) : std::nullopt) {
    difference.tolerance = may_be->tolerance;
    difference.least = may_be->least;
    difference.most = may_be->most;
    const double slack = rounding * std::max(1.0, std::abs(*difference.before));
    difference.within = difference.after ? *difference.after >= may_be->least - slack &&
                                               (!may_be->most || *difference.after <= *may_be->most + slack)
                                         : lack_is_no_fault(after, there);
  }
  out.push_back(std::move(difference));
}

Difference in_words(std::string where, const char* kind, std::string before, std::string after, int corner) {
  Difference difference{std::move(where), kind};
  difference.before_words = std::move(before);
  difference.after_words = std::move(after);
  difference.corner = corner;
  return difference;
}

void compare_state(const Results& before, const Results& after, const Figure& here, const Figure& there,
                   Differences& out) {
  const WheelState was = wheel_at(before, here).state, is = wheel_at(after, there).state;
  if (was == is) return;
  out.push_back(in_words(figure_place(before.model, here), "state", std::string(state_name(was)),
                         std::string(state_name(is)), here.corner));
  out.back().within = is == WheelState::riding;  // one that was on a stop and now rides is no worse for it
}

/// Corners and wheels that only the first model has, or only the second. A missing corner's wheels are not told.
void tell_lacks(const Model& has, const Model& lacks, bool lacks_after, Differences& out) {
  for (const Figure& part : corners_and_wheels(has)) {
    if (counterpart(has, part, lacks)) continue;
    const bool is_wheel = part.wheel >= 0;
    if (is_wheel && !counterpart(has, {nullptr, part.corner}, lacks)) continue;
    out.push_back(in_words(figure_place(has, part), is_wheel ? "wheel" : "corner", lacks_after ? "there" : "missing",
                           lacks_after ? "missing" : "there", lacks_after ? part.corner : -1));
    out.back().within = !lacks_after;
  }
}

/// What the builder changed, told by names; of a linkage that is another one altogether, what it still shares.
void compare_parts(const Model& before, const Model& after, int corner, int other_corner, Differences& out) {
  const Linkage& was = at(before.linkages, at(before.corners, corner).linkage);
  const Linkage& is = at(after.linkages, at(after.corners, other_corner).linkage);
  const auto tell = [&](const char* kind, const std::string& name, std::string before_words, std::string after_words) {
    out.push_back(in_words(at(before.corners, corner).name + "/" + name, kind, std::move(before_words),
                           std::move(after_words), corner));
  };
  for (const Body& body : was.bodies) {
    const Body* other = named(is.bodies, body.name);
    for (const Hole& hole : body.holes) {
      const Hole* moved = other ? named(other->holes, hole.name) : nullptr;
      if (!moved || same_length((moved->p_B - hole.p_B).norm(), 0)) continue;
      tell("hole", body.name + "." + hole.name, place_words(hole.p_B, before.module_mm),
           place_words(moved->p_B, after.module_mm));
    }
    if (other && made_words(body) != made_words(*other)) tell("part", body.name, made_words(body), made_words(*other));
  }
  for (const Rod& rod : was.rods) {
    const Rod* other = named(is.rods, rod.name);
    if (!other) continue;
    if (!same_length(rod.length_mm, other->length_mm))
      tell("rod", rod.name, fmt::format("{:g}", rod.length_mm / before.module_mm),
           fmt::format("{:g}", other->length_mm / after.module_mm));
    const std::string height = height_words(rod, before.module_mm), now = height_words(*other, after.module_mm);
    if (height != now) tell("height", rod.name, height, now);
  }
  for (const Wheel& wheel : was.wheels) {
    const Wheel* other = named(is.wheels, wheel.name);
    if (other && wheel.same_as.empty() && tyre_words(wheel) != tyre_words(*other))
      tell("tyre", wheel.name, tyre_words(wheel), tyre_words(*other));
  }
  for (const Spring& spring : was.springs) {
    const Spring* other = named(is.springs, spring.name);
    if (other && same_springs(spring, *other) && spring.part == other->part) continue;
    tell("spring", spring.name, spring_words(spring), other ? spring_words(*other) : "none");
  }
  for (const Spring& spring : is.springs)
    if (!named(was.springs, spring.name)) tell("spring", spring.name, "none", spring_words(spring));
}

void compare_bars(const Model& before, const Model& after, Differences& out) {
  for (const Bar& bar : before.bars)
    if (!named(after.bars, bar.name)) out.push_back(in_words(bar.name, "bar", "there", "none", -1));
  for (const Bar& bar : after.bars)
    if (!named(before.bars, bar.name)) out.push_back(in_words(bar.name, "bar", "none", "there", -1));
}

/// What both steer, where they differ: everything of a steering that is judged.
void compare_steering(const Results& before, const Results& after, const Keep& keep, const std::string& not_steered,
                      Differences& out) {
  if (before.steered && !not_steered.empty()) {
    out.push_back(in_words("", "steering", "there", not_steered, -1));
    out.back().within = false;
  }
  if (!before.steered || !after.steered) return;
  for (const Quantity& what : quantities())
    for (const Figure& here : of_steering(what.of) && !what.keep.empty() ? figures_of(before.model, what) : Figures{}) {
      const auto there = counterpart(before.model, here, after.model);
      if (!there) continue;
      Differences number;
      compare_number(before, after, here, *there, keep, number);
      for (Difference& each : number)
        if (!each.before || !each.after || std::abs(*each.after - *each.before) > rounding)
          out.push_back(std::move(each));
    }
}

}  // namespace

Comparison compare(const Results& was, const Results& is, const Keep& keep, const std::string& not_steered) {
  const Model &before = was.model, &after = is.model;
  Comparison result;
  Differences& differences = result.differences;
  tell_lacks(before, after, true, differences);
  tell_lacks(after, before, false, differences);
  for (int corner = 0; corner < count(before.corners); ++corner)
    if (const auto other = counterpart(before, {nullptr, corner}, after))
      compare_parts(before, after, corner, other->corner, differences);
  compare_bars(before, after, differences);
  for (const Figure& figure : told_figures(before))
    if (const auto other = counterpart(before, figure, after))
      compare_number(was, is, figure, *other, keep, differences);
  for (const Figure& part : corners_and_wheels(before)) {
    const auto other = part.wheel >= 0 ? counterpart(before, part, after) : std::nullopt;
    if (other) compare_state(was, is, part, *other, differences);
  }
  compare_steering(was, is, keep, not_steered, differences);
  result.new_findings = new_findings(was.solution.findings, is.solution.findings);
  std::erase_if(result.new_findings, [](const Finding& each) {
    return each.level != Level::problem || each.code == "bottomed";  // its state tells that
  });
  for (const Finding& finding : result.new_findings) {
    differences.push_back(in_words(finding.where, "finding", "", finding.code, -1));
    differences.back().within = false;
  }
  result.needs = spring_needs(before, was.solution, after, &is.solution);
  result.holds = true;
  result.worst = 0;
  for (const Difference& each : differences) {
    result.holds = result.holds && each.within;
    result.worst = std::max(result.worst, share_of_tolerance(each));
  }
  result.verdict = verdict_words(before, result);
  return result;
}

Comparison compare_unsolved(const Model& before, const Solution& solved_before, const Model& after,
                            const std::vector<Problem>& why) {
  Comparison result;
  result.verdict = "does not stand: " + why.front().text;
  result.needs = spring_needs(before, solved_before, after, nullptr);
  return result;
}

}  // namespace ridepitch
