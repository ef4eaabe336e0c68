#include "sheet/tables.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "model/units.hpp"
#include "swap/grouped.hpp"
#include "swap/spots.hpp"
#include "words/number.hpp"

namespace ridepitch {
namespace {

using Cells = std::vector<std::string>;

SheetRow row_of(const Cells& cells) {
  SheetRow row;
  for (const std::string& cell : cells) row.cells.push_back({cell});
  return row;
}

const Spot* find_spot(const std::vector<Spot>& spots, Scope scope, const std::string& where) {
  const auto found =
      std::find_if(spots.begin(), spots.end(), [&](const Spot& s) { return s.scope == scope && s.where == where; });
  return found == spots.end() ? nullptr : &*found;
}

/// What a builder reads at one wheel; a corner's height stands beside its first wheel.
struct ByHand {
  std::string height = "", scale = "-", pressed = "-";
};

ByHand by_hand(const Results& results, const Spot& spot) {
  const WheelResult& wheel = wheel_at(results.solution, spot);
  return {spot.wheel == 0 ? number(results.solution.corners[spot.corner].ride_height_mm, 1) : "",
          number(grams_of(results.model.bench ? wheel.load_n : wheel.ground_load_n), 0),
          number(wheel.bump_travel_mm, 1)};
}

// ------------------------------------------------------------------------------------- numbers

std::string places(const std::vector<std::string>& where, std::size_t all, Scope scope) {
  if (scope == Scope::vehicle) return "the vehicle";
  if (where.size() == all && all > 1 && scope == Scope::wheel) return "all wheels";
  if (where.size() == all && all > 1 && scope == Scope::corner) return "all corners";
  return fmt::format("{}", fmt::join(where, ", "));
}

struct Numbers {
  const Told& told;
  SheetTable table = {};

  void quantity_rows(const std::string& words, const std::string& unit, Scope scope,
                     const std::vector<GroupedRow>& rows) {
    std::size_t all = 0;
    for (const GroupedRow& each : rows) all += each.where.size();
    bool first = true;
    for (const GroupedRow& each : rows) {
      Cells cells = {first ? words : "", first ? unit : "", places(each.where, all, scope)};
      cells.insert(cells.end(), each.cells.begin(), each.cells.end());
      table.rows.push_back(row_of(cells));
      first = false;
    }
  }

  Cells cells_of(const std::optional<double>& was, const std::optional<double>& is, int decimals,
                 const Difference* difference, double shown) const {
    if (!told.before) return {number(is, decimals)};
    std::string may_be, judged;
    if (difference && difference->least) {
      may_be = number(*difference->least * shown, decimals);
      may_be += difference->most ? " to " + number(*difference->most * shown, decimals) : " or more";
      judged = difference->within                         ? "yes"
               : !difference->after                       ? "none"
               : *difference->after < *difference->before ? "too low"
                                                          : "too high";
    }
    return {number(was, decimals), number(is, decimals), may_be, judged};
  }

  const Difference* difference_of(std::string_view name, const std::string& where) const {
    if (!told.comparison) return nullptr;
    for (const Difference& each : told.comparison->differences)
      if (each.quantity == name && each.where == where) return &each;
    return nullptr;
  }

  /// @param value  of (results, spot), as printed
  template <class Value>
  void of_spots(const std::string& words, const std::string& unit, int decimals, Scope scope, std::string_view name,
                double shown, const Value& value) {
    const std::vector<Spot> spots = spots_of(told.now.model);
    const std::vector<Spot> old = told.before ? spots_of(told.before->model) : std::vector<Spot>();
    std::vector<GroupedRow> rows;
    for (const Spot& spot : spots) {
      if (spot.scope != scope) continue;
      const Spot* then = find_spot(old, scope, spot.where);
      const std::optional<double> was = then ? value(*told.before, *then) : std::nullopt, is = value(told.now, spot);
      if (was || is) add_to(rows, cells_of(was, is, decimals, difference_of(name, spot.where), shown), spot.where);
    }
    quantity_rows(words, unit, scope, rows);
  }

  void of_quantity(const Quantity& quantity) {
    of_spots(std::string(quantity.words), std::string(quantity.unit), quantity.decimals, quantity.of, quantity.name,
             quantity.shown, [&](const Results& results, const Spot& spot) {
               const std::optional<double> value = value_at(quantity, results, spot);
               return value ? std::optional(*value * quantity.shown) : std::nullopt;
             });
  }

  void of_steering(std::string_view name) {
    const Quantity& quantity = ridepitch::quantity(name);
    const auto figures = [&](const Results& results) {
      std::vector<int> corners;
      for (int c = 0; c < static_cast<int>(results.model.corners.size()); ++c) corners.push_back(c);
      return figures_of(results.model, name, "", corners);
    };
    std::vector<GroupedRow> rows;
    const std::vector<Figure> then = told.before ? figures(*told.before) : std::vector<Figure>();
    for (const Figure& figure : figures(told.now)) {
      const std::string where = figure_place(told.now.model, figure);
      std::optional<double> was;
      for (const Figure& other : then)
        if (figure_place(told.before->model, other) == where) was = value_of(*told.before, other);
      const std::optional<double> is = value_of(told.now, figure);
      if (was || is) add_to(rows, cells_of(was, is, quantity.decimals, nullptr, 1), where);
    }
    quantity_rows(std::string(quantity.words), std::string(quantity.unit), quantity.of, rows);
  }
};

}  // namespace

SheetTable by_hand_table(const Told& told) {
  const std::string scale = told.now.model.bench ? "load" : "scale";
  SheetTable table;
  table.columns = {{"at", "", false}};
  table.columns.front().wanted_share = 1;
  for (const std::string& what : {std::string("height"), scale, std::string("pressed")}) {
    const std::string unit = what == "height" ? "mm" : what == scale ? "g" : "mm more";
    if (told.before) table.columns.push_back({what, unit + ", before"});
    table.columns.push_back({what, told.before ? unit + ", after" : unit});
  }
  for (const char* tool : {"your ruler", "your scale"}) {
    table.columns.push_back({tool, tool == std::string("your ruler") ? "mm" : "g"});
    table.columns.back().blank = true;
  }
  const std::vector<Spot> old = told.before ? spots_of(told.before->model) : std::vector<Spot>();
  for (const Spot& spot : spots_of(told.now.model)) {
    if (spot.scope != Scope::wheel) continue;
    const ByHand now = by_hand(told.now, spot);
    Cells cells = {spot.where, now.height, now.scale, now.pressed};
    if (told.before) {
      const Spot* there = find_spot(old, Scope::wheel, spot.where);
      const ByHand then = there ? by_hand(*told.before, *there) : ByHand{};
      cells = {spot.where, then.height, now.height, then.scale, now.scale, then.pressed, now.pressed};
    }
    cells.insert(cells.end(), {"", ""});
    table.rows.push_back(row_of(cells));
  }
  return table;
}

SheetTable numbers_table(const Told& told) {
  Numbers numbers{told};
  numbers.table.columns = {{"what", "", false}, {"", "", false}, {"at", "", false}};
  numbers.table.columns.back().wanted_share = 1;
  if (told.before) {
    for (const char* heading : {"before", "after", "may be"}) numbers.table.columns.push_back({heading});
    numbers.table.columns.push_back({"holds", "", false});
  } else {
    numbers.table.columns.push_back({"value"});
  }
  for (const Quantity& quantity : quantities()) {
    if (!quantity.compared || quantity.name == "ground_load_n") continue;  // the scale is in the table by hand
    numbers.of_quantity(quantity);
    if (quantity.name == "bump_travel_mm")
      numbers.of_spots("travel in all", "mm", 1, Scope::wheel, "", 1, [](const Results& results, const Spot& spot) {
        return wheel_at(results.solution, spot).bump_total_mm;
      });
  }
  for (const char* name : {"lock_deg", "ackermann_error_deg", "turn_radius_mm", "bump_steer_deg"})
    numbers.of_steering(name);
  return std::move(numbers.table);
}

}  // namespace ridepitch
