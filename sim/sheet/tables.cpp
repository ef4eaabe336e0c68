#include "sheet/tables.hpp"

#include "model/index.hpp"
#include "swap/grouped.hpp"
#include "words/number.hpp"

namespace ridepitch {
namespace {

using Cells = std::vector<std::string>;

SheetRow row_of(const Cells& cells) {
  SheetRow row;
  for (const std::string& cell : cells) row.cells.push_back({cell});
  return row;
}

/// What a builder reads at one wheel; a corner's height stands beside its first wheel.
struct ByHand {
  std::string height = "", scale = "-", pressed = "-";
};

ByHand by_hand(const Results& results, const Figure& part) {
  const CornerResult& corner = at(results.solution.corners, part.corner);
  const WheelResult& wheel = at(corner.wheels, part.wheel);
  return {part.wheel == 0 ? number(quantity(name::ride_height), corner.ride_height_mm) : "",
          number(quantity(name::ground_load), results.model.bench ? wheel.load_n : wheel.ground_load_n),
          number(quantity(name::bump_travel), wheel.bump_travel_mm)};
}

// ------------------------------------------------------------------------------------- numbers

const Difference* difference_of(const Told& told, std::string_view name, const std::string& where) {
  if (!told.comparison) return nullptr;
  for (const Difference& each : told.comparison->differences)
    if (each.quantity == name && each.where == where) return &each;
  return nullptr;
}

/// Before, now, what it may be, and whether it is; of a model alone its number.
Cells cells_of(const Told& told, const Quantity& what, std::optional<double> was, std::optional<double> is,
               const Difference* difference) {
  if (!told.before) return {number(what, is)};
  std::string may_be, judged;
  if (difference && difference->least) {
    may_be =
        number(what, difference->least) + (difference->most ? " to " + number(what, difference->most) : " or more");
    judged = difference->within                         ? "yes"
             : !difference->after                       ? "none"
             : *difference->after < *difference->before ? "too low"
                                                        : "too high";
  }
  return {number(what, was), number(what, is), may_be, judged};
}

/// A row for each value of a quantity; places that show the same share one.
void add_quantity(const Told& told, std::string_view name, SheetTable& table) {
  const Quantity& what = quantity(name);
  std::vector<GroupedRow> rows;
  for (const Figure& figure : figures_of(told.now.model, what)) {
    const std::string where = figure_place(told.now.model, figure);
    const auto then = told.before ? counterpart(told.now.model, figure, told.before->model) : std::nullopt;
    const std::optional<double> was = then ? value_of(*told.before, *then) : std::nullopt,
                                is = value_of(told.now, figure);
    if (was || is) add_to(rows, cells_of(told, what, was, is, difference_of(told, name, where)), where);
  }
  bool first = true;
  for (const GroupedRow& each : rows) {
    Cells cells = {first ? std::string(what.words) : "", first ? std::string(what.unit) : "",
                   places_text(each, rows, what.of)};
    cells.insert(cells.end(), each.cells.begin(), each.cells.end());
    table.rows.push_back(row_of(cells));
    first = false;
  }
}

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
  for (const Figure& part : corners_and_wheels(told.now.model)) {
    if (part.wheel < 0) continue;
    const std::string where = figure_place(told.now.model, part);
    const ByHand now = by_hand(told.now, part);
    Cells cells = {where, now.height, now.scale, now.pressed};
    if (told.before) {
      const auto there = counterpart(told.now.model, part, told.before->model);
      const ByHand then = there ? by_hand(*told.before, *there) : ByHand{};
      cells = {where, then.height, now.height, then.scale, now.scale, then.pressed, now.pressed};
    }
    cells.insert(cells.end(), {"", ""});
    table.rows.push_back(row_of(cells));
  }
  return table;
}

SheetTable numbers_table(const Told& told) {
  SheetTable table;
  table.columns = {{"what", "", false}, {"", "", false}, {"at", "", false}};
  table.columns.back().wanted_share = 1;
  if (told.before) {
    for (const char* heading : {"before", "after", "may be"}) table.columns.push_back({heading});
    table.columns.push_back({"holds", "", false});
  } else {
    table.columns.push_back({"value"});
  }
  for (const Quantity* what : told_quantities()) {
    if (!on_ground(what->of) || what->name == name::ground_load) continue;  // the scale is in the table by hand
    add_quantity(told, what->name, table);
    if (what->name == name::bump_travel) add_quantity(told, name::bump_total, table);
  }
  for (const std::string_view name : {name::lock, name::worst_error, name::turn_radius, name::bump_steer})
    add_quantity(told, name, table);
  return table;
}

}  // namespace ridepitch
