#include "state/numbers.hpp"

#include <algorithm>
#include <array>
#include <tuple>

#include <fmt/format.h>

#include "model/index.hpp"
#include "state/by_hand.hpp"
#include "steer/quantity_readers.hpp"
#include "words/number.hpp"

namespace ridepitch::view {
namespace {

bool within(const Comparison* comparison, const std::string& where, std::string_view quantity) {
  if (!comparison) return true;
  for (const Difference& each : comparison->differences)
    if (each.where == where && each.quantity == quantity && each.tolerance) return each.within;
  return true;
}

Results numbers_of(const Solved& solved) {
  return {solved.model, solved.solution, solved.steered ? &*solved.steered : nullptr};
}

/// A figure's row, if it has a number before or now.
void add_figure(const Solved* before, const Solved& now, const Comparison* comparison, const Figure& figure,
                std::vector<NumberRow>& rows) {
  const Quantity& what = *figure.what;
  const auto shown = [&](std::optional<double> value) { return value ? std::optional(*value * what.shown) : value; };
  NumberRow row{.where = figure_place(now.model, figure),
                .words = on_ground(what.of) ? what.words : heading_of(what),
                .unit = what.unit,
                .decimals = what.decimals,
                .before = {},
                .now = {}};
  row.now = shown(value_of(numbers_of(now), figure));
  const auto then = before ? counterpart(now.model, figure, before->model) : std::nullopt;
  if (then) row.before = shown(value_of(numbers_of(*before), *then));
  if (!row.before && !row.now) return;
  row.within = within(comparison, row.where, what.name);
  rows.push_back(std::move(row));
}

const BumpCurve* straight_of(const Steering* steering, std::size_t wheel) {
  if (!steering || wheel >= steering->bump.size() || !steering->bump[wheel].straight) return nullptr;
  return &*steering->bump[wheel].straight;
}

/// What travel does to where its wheels point: of the quantities that are told those of bump steer, with what it is at the locks.
void add_bump(const Steering* before, const Steering& now, const Comparison* comparison, std::vector<NumberRow>& rows) {
  using Value = std::optional<double>;
  const auto row = [&](const std::string& where, std::string_view words, std::string_view unit, Value was, Value is) {
    if (was || is) rows.push_back({where, words, unit, 2, was, is});
  };
  for (std::size_t w = 0; w < now.bump.size(); ++w) {
    const std::string& wheel = now.bump[w].same_as;
    const BumpCurve *is = straight_of(&now, w), *was = straight_of(before, w);
    const auto of = [](const BumpCurve* curve, auto value) { return curve ? Value(value(*curve)) : Value(); };
    const auto both = [&](std::string_view words, std::string_view unit, std::string_view quantity, auto value) {
      if (!was && !is) return;
      row(wheel, words, unit, of(was, value), of(is, value));
      rows.back().within = within(comparison, now.name + "/" + now.wheels[w].name, quantity);
    };
    both("bump steer", "deg/10 mm", name::bump_steer_slope,
         [](const BumpCurve& c) { return c.rest_slope_deg_per_10mm; });
    both("toe at droop", "deg", name::steer_at_droop, [](const BumpCurve& c) { return c.points.front().toe_deg; });
    both("toe at bump", "deg", name::steer_at_bump, [](const BumpCurve& c) { return c.points.back().toe_deg; });
    for (std::size_t end = 0; end < 2; ++end) {
      const auto slope = [&](const Steering* steering) {
        const bool there = steering && w < steering->bump.size() && steering->bump[w].lock[end];
        return there ? Value(steering->bump[w].lock[end]->rest_slope_deg_per_10mm) : Value();
      };
      row(fmt::format("{}, drive at {:.1f} {}", wheel, now.range[end], now.crank ? "deg" : "mm"), "bump steer",
          "deg/10 mm", slope(before), slope(&now));
    }
  }
}

/// How near its wheels come to anything.
void add_room(const Steering* before, const Steering& now, bool later, std::vector<NumberRow>& rows) {
  const auto gap_of = [](const Steering* steering, const std::string& wheel) -> const LeastGap* {
    if (!steering || !steering->clearance) return nullptr;
    for (const LeastGap& gap : steering->clearance->gaps)
      if (gap.wheel == wheel) return &gap;
    return nullptr;
  };
  const Steering* named = now.clearance ? &now : before && before->clearance ? before : nullptr;
  if (!named) return;
  for (const LeastGap& each : named->clearance->gaps) {
    const LeastGap *was = gap_of(before, each.wheel), *is = gap_of(&now, each.wheel);
    NumberRow row{fmt::format("{}, nearest to {}", each.wheel, each.against), "lock clearance", "mm", 1, {}, {}};
    if (was) row.before = was->gap_mm;
    if (is) row.now = is->gap_mm;
    row.later = later && !is;
    if (is || was) rows.push_back(std::move(row));
  }
}

/// Figures of a corner, part by part: the vehicle, the corner, its wheels, its springs, what it steers.
std::vector<Figure> figures_in_order(const Model& model, int corner) {
  std::vector<Figure> all;
  constexpr std::array in_add_bump = {name::bump_steer_slope, name::steer_at_droop, name::steer_at_bump};
  for (const Quantity* what : told_quantities()) {
    if (std::find(in_add_bump.begin(), in_add_bump.end(), what->name) != in_add_bump.end()) continue;
    const std::vector<Figure> figures = figures_at(model, *what, corner);
    all.insert(all.end(), figures.begin(), figures.end());
  }
  const auto place = [](const Figure& f) { return std::tuple(f.corner, f.side, f.spring, f.wheel); };
  std::stable_sort(all.begin(), all.end(), [&](const Figure& a, const Figure& b) { return place(a) < place(b); });
  return all;
}

}  // namespace

std::vector<NumberRow> number_rows(const Solved* before, const Solved& now, const Comparison* comparison, int corner) {
  std::vector<NumberRow> rows;
  for (const Figure& figure : figures_in_order(now.model, corner)) add_figure(before, now, comparison, figure, rows);
  const Steering* here = steering_of(now, corner);
  if (!here) return rows;
  const Steering* there = before && before->steered ? named(before->steered->steering, here->name) : nullptr;
  add_bump(there, *here, comparison, rows);
  add_room(there, *here, now.detail == Detail::dragging, rows);
  return rows;
}

std::string difference_text(const NumberRow& row) {
  if (!row.before || !row.now) return "";
  const std::string text = number(*row.now - *row.before, row.decimals);
  if (text.find_first_not_of("0.") == std::string::npos) return "";
  return text.front() == '-' ? text : "+" + text;
}

}  // namespace ridepitch::view
