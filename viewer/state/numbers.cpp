#include "state/numbers.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "state/steering_place.hpp"
#include "swap/spots.hpp"
#include "words/number.hpp"

namespace ridepitch::view {
namespace {

const CornerResult* corner_named(const Solution& solution, const std::string& name) {
  for (const CornerResult& corner : solution.corners)
    if (corner.name == name) return &corner;
  return nullptr;
}

const SpringResult* spring_named(const CornerResult* corner, const std::string& name) {
  if (!corner) return nullptr;
  for (const SpringResult& spring : corner->springs)
    if (spring.name == name) return &spring;
  return nullptr;
}

const Difference* judged(const Comparison* comparison, const std::string& where, std::string_view quantity) {
  if (!comparison) return nullptr;
  for (const Difference& each : comparison->differences)
    if (each.where == where && each.quantity == quantity && each.tolerance) return &each;
  return nullptr;
}

std::optional<double> shown_value(const Quantity& quantity, const Solved& solved, const Spot& spot) {
  const Results results{solved.model, solved.solution, solved.steered ? &*solved.steered : nullptr};
  std::optional<double> value = ridepitch::value_at(quantity, results, spot);
  if (value) *value *= quantity.shown;
  return value;
}

void add_springs(const Solved* before, const Solved& now, int corner, std::vector<NumberRow>& rows) {
  const CornerResult& here = now.solution.corners[static_cast<std::size_t>(corner)];
  const CornerResult* there = before ? corner_named(before->solution, here.name) : nullptr;
  for (const SpringResult& spring : here.springs) {
    const SpringResult* was = spring_named(there, spring.name);
    const auto row = [&](std::string_view words, std::string_view unit, int decimals, auto member) {
      NumberRow out{here.name + "/" + spring.name,     words,         unit, decimals,
                    was ? was->*member : std::nullopt, spring.*member};
      if (out.before || out.now) rows.push_back(std::move(out));
    };
    row("length", "mm", 1, &SpringResult::length_mm);
    row("force", "N", 2, &SpringResult::force_n);
    row("angle", "deg", 1, &SpringResult::angle_deg);
    row("torque", "N mm", 0, &SpringResult::torque_n_mm);
  }
}

const BumpCurve* straight_of(const Steering* steering, std::size_t wheel) {
  if (!steering || wheel >= steering->bump.size() || !steering->bump[wheel].straight) return nullptr;
  return &*steering->bump[wheel].straight;
}

/// What travel does to where its wheels point.
void add_bump(const Steering* before, const Steering& now, std::vector<NumberRow>& rows) {
  using Value = std::optional<double>;
  const auto row = [&](const std::string& where, std::string_view words, std::string_view unit, Value was, Value is) {
    if (was || is) rows.push_back({where, words, unit, 2, was, is});
  };
  for (std::size_t w = 0; w < now.bump.size(); ++w) {
    const std::string& name = now.bump[w].same_as;
    const BumpCurve *is = straight_of(&now, w), *was = straight_of(before, w);
    const auto of = [](const BumpCurve* curve, auto value) { return curve ? Value(value(*curve)) : Value(); };
    const auto both = [&](std::string_view words, std::string_view unit, auto value) {
      row(name, words, unit, of(was, value), of(is, value));
    };
    both("bump steer", "deg/10 mm", [](const BumpCurve& c) { return c.rest_slope_deg_per_10mm; });
    both("toe at droop", "deg", [](const BumpCurve& c) { return c.points.front().toe_deg; });
    both("toe at bump", "deg", [](const BumpCurve& c) { return c.points.back().toe_deg; });
    for (std::size_t end = 0; end < 2; ++end) {
      const auto slope = [&](const Steering* steering) {
        const bool there = steering && w < steering->bump.size() && steering->bump[w].lock[end];
        return there ? Value(steering->bump[w].lock[end]->rest_slope_deg_per_10mm) : Value();
      };
      row(fmt::format("{}, drive at {:.1f} {}", name, now.range[end], now.crank ? "deg" : "mm"), "bump steer",
          "deg/10 mm", slope(before), slope(&now));
    }
  }
}

/// How near its wheels come to anything.
void add_room(const Steering* before, const Steering& now, bool later, std::vector<NumberRow>& rows) {
  const auto gap_of = [](const Steering* steering, const std::string& wheel) -> const LeastGap* {
    if (!steering || !steering->room) return nullptr;
    for (const LeastGap& gap : steering->room->gaps)
      if (gap.wheel == wheel) return &gap;
    return nullptr;
  };
  const Steering* named = now.room ? &now : before && before->room ? before : nullptr;
  if (!named) return;
  for (const LeastGap& each : named->room->gaps) {
    const LeastGap *was = gap_of(before, each.wheel), *is = gap_of(&now, each.wheel);
    NumberRow row{fmt::format("{}, nearest to {}", each.wheel, each.against), "room", "mm", 1, {}, {}};
    if (was) row.before = was->gap_mm;
    if (is) row.now = is->gap_mm;
    row.later = later && !is;
    if (is || was) rows.push_back(std::move(row));
  }
}

void add_steering(const Solved* before, const Solved& now, int corner, std::vector<NumberRow>& rows) {
  const Steering* here = steering_of(now, corner);
  if (!here) return;
  const Steering* there = nullptr;
  if (before && before->steered)
    for (const Steering& each : before->steered->steering)
      if (each.name == here->name) there = &each;
  const auto row = [&](const std::string& where, std::string_view words, std::string_view unit, int decimals,
                       auto value) {
    NumberRow out{where, words, unit, decimals, there ? value(*there) : std::nullopt, value(*here)};
    if (out.before || out.now) rows.push_back(std::move(out));
  };
  using Value = std::optional<double>;
  const std::string sides[2] = {here->name + ", to the left", here->name + ", to the right"};
  row(here->name, "turns lock to lock", "", 2, [](const Steering& s) { return s.turns_lock_to_lock; });
  row(here->name, "rack travel", "mm", 1,
      [](const Steering& s) { return s.crank ? Value() : Value(s.range[1] - s.range[0]); });
  row(here->name, "worst error", "deg", 2, [](const Steering& s) { return s.worst_error_deg; });
  row(here->name, "mean error", "deg", 2, [](const Steering& s) { return s.rms_error_deg; });
  row(here->name, "steering ratio", "", 1, [](const Steering& s) { return s.steering_ratio; });
  for (std::size_t side = 0; side < 2; ++side) {
    row(sides[side], "lock", "deg", 1, [side](const Steering& s) { return s.inner_lock_deg[side]; });
    row(sides[side], "turn circle", "mm", 0, [side](const Steering& s) { return s.turn_circle_mm[side]; });
    row(sides[side], "kerb circle", "mm", 0, [side](const Steering& s) { return s.kerb_circle_mm[side]; });
    row(sides[side], "Ackermann", "%", 0, [side](const Steering& s) { return s.ackermann_percent[side]; });
  }
  for (std::size_t w = 0; w < here->wheels.size(); ++w)
    row(here->name + "/" + here->wheels[w].name, "toe", "deg", 2,
        [w](const Steering& s) { return w < s.wheels.size() ? Value(s.wheels[w].toe_deg) : Value(); });
  add_bump(there, *here, rows);
  add_room(there, *here, now.detail == Detail::dragging, rows);
}

}  // namespace

std::vector<NumberRow> number_rows(const Solved* before, const Solved& now, const Comparison* comparison, int corner) {
  std::vector<NumberRow> rows;
  const std::vector<Spot> spots = spots_of(now.model);
  const std::vector<Spot> old = before ? spots_of(before->model) : std::vector<Spot>{};
  for (const Spot& spot : spots) {
    if (spot.scope != Scope::vehicle && static_cast<int>(spot.corner) != corner) continue;
    const auto like = std::find_if(
        old.begin(), old.end(), [&](const Spot& each) { return each.scope == spot.scope && each.where == spot.where; });
    for (const Quantity& quantity : quantities()) {
      if (quantity.of != spot.scope || !quantity.compared) continue;
      NumberRow row{spot.where, quantity.words, quantity.unit, quantity.decimals, {}, shown_value(quantity, now, spot)};
      if (like != old.end()) row.before = shown_value(quantity, *before, *like);
      if (!row.before && !row.now) continue;
      if (const Difference* difference = judged(comparison, spot.where, quantity.name)) row.within = difference->within;
      rows.push_back(std::move(row));
    }
  }
  add_springs(before, now, corner, rows);
  add_steering(before, now, corner, rows);
  return rows;
}

std::string difference_text(const NumberRow& row) {
  if (!row.before || !row.now) return "";
  const std::string text = number(*row.now - *row.before, row.decimals);
  if (text.find_first_not_of("0.") == std::string::npos) return "";
  return text.front() == '-' ? text : "+" + text;
}

}  // namespace ridepitch::view
