#include <fmt/format.h>

#include <algorithm>

#include "cli/page.hpp"
#include "cli/quantity_text.hpp"
#include "cli/swapped.hpp"
#include "model/index.hpp"

namespace ridepitch {
namespace {

/// Indices of the cells that have a column in the table of a wheel, in its order.
std::vector<std::size_t> cells_of(const Nudge& nudge, int corner, int wheel) {
  std::vector<std::size_t> cells;
  for (const std::string_view name :
       {name::ride_height, name::pitch, name::motion_ratio, name::wheel_rate, name::bump_travel, name::reserve}) {
    for (std::size_t i = 0; i < nudge.cells.size(); ++i)
      if (nudge.cells[i].figure.what->name == name && concerns(nudge.cells[i], corner, wheel)) cells.push_back(i);
  }
  return cells;
}

/// A change with its sign; what does not show is left empty, so that the others stand out.
std::string change_text(const Cell& cell, const std::optional<double>& value) {
  return value && cell.now ? signed_number(*cell.figure.what, *value - *cell.now) : "-";
}

std::vector<const Step*> sorted_steps(const Nudged& nudged, int corner, int wheel) {
  std::vector<std::pair<double, const Step*>> steps;
  const int linkage = at(nudged.solved.model.corners, corner).linkage;
  for (const Step& step : nudged.nudge.steps) {
    if (step.linkage == linkage && step.why_not.empty())
      steps.emplace_back(effect_at(nudged.nudge, step, corner, wheel), &step);
  }
  std::stable_sort(steps.begin(), steps.end(), [](const auto& a, const auto& b) { return a.first > b.first; });
  std::vector<const Step*> sorted;
  sorted.reserve(steps.size());
  for (const auto& each : steps) sorted.push_back(each.second);
  return sorted;
}

/// What a step makes of a wheel's state, "bottomed"; empty if it stays.
std::string state_after(const Step& step, const std::string& wheel) {
  for (const std::string& state : step.states) {
    if (state.starts_with(wheel + " ")) return state.substr(wheel.size() + 1);
  }
  return "";
}

std::string steps_without_effect(std::size_t count) {
  if (count == 0) return "";
  return fmt::format("  {} other step{} without effect here.\n", count, count == 1 ? " is" : "s are");
}

/// The numbers of one place, and what each step changes of them.
/// @param cells  indices of those that are shown, with a column each
/// @param where  the wheel, whose state may change
std::string step_table(const Nudge& nudge, const std::string& where, const std::vector<std::size_t>& cells,
                       const std::vector<Column>& columns, const std::vector<const Step*>& steps,
                       const TextStyle& style) {
  Table table;
  table.columns = {{shown(where), "", "", Align::left}};
  table.columns.insert(table.columns.end(), columns.begin(), columns.end());
  table.columns.push_back({"", "", "", Align::left});
  Row now = {"as it stands"};
  for (const std::size_t cell : cells) now.push_back(number(*nudge.cells[cell].figure.what, nudge.cells[cell].now));
  now.push_back("");
  table.rows.push_back(std::move(now));
  std::size_t without_effect = 0;
  for (const Step* step : steps) {
    Row row = {shown(step->name)};
    for (const std::size_t cell : cells) row.push_back(change_text(nudge.cells[cell], step->values[cell]));
    row.push_back(state_after(*step, where));
    const bool nothing =
        std::all_of(row.begin() + 1, row.end(), [](const std::string& text) { return text.empty() || text == "-"; });
    if (nothing)
      ++without_effect;
    else
      table.rows.push_back(std::move(row));
  }
  return "\n" + table_text(std::move(table), style) + steps_without_effect(without_effect);
}

std::string wheel_table(const Nudged& nudged, int corner, int wheel, const TextStyle& style) {
  const std::vector<std::size_t> cells = cells_of(nudged.nudge, corner, wheel);
  std::vector<Column> columns;
  for (const std::size_t cell : cells) columns.push_back(quantity_column(nudged.nudge.cells[cell].figure.what->name));
  return step_table(nudged.nudge, figure_place(nudged.solved.model, {nullptr, corner, wheel}), cells, columns,
                    sorted_steps(nudged, corner, wheel), style);
}

std::string steering_table(const Nudged& nudged, const Nudge& nudge, const TextStyle& style) {
  const Corner& corner = at(nudged.solved.model.corners, nudge.corner);
  const Linkage& linkage = at(nudged.solved.model.linkages, corner.linkage);
  std::vector<std::size_t> cells;
  std::vector<Column> columns;
  for (const Cell& cell : nudge.cells) {
    columns.push_back(quantity_column(cell.figure.what->name));
    if (cell.figure.wheel >= 0) {
      columns.back().heading = shown(at(linkage.wheels, cell.figure.wheel).name);
      if (!cells.empty()) columns.back().meaning = "";  // said of the first
    }
    cells.push_back(cells.size());
  }
  std::vector<const Step*> steps;
  std::vector<std::string> impossible;
  for (const Step& step : nudge.steps) {
    if (step.why_not.empty())
      steps.push_back(&step);
    else
      impossible.push_back(step.name);
  }
  std::string text = step_table(nudge, corner.name, cells, columns, steps, style);
  if (!impossible.empty()) text += "  " + wrapped("Can't be steered with: " + names_listed(impossible) + ".", 2) + "\n";
  return text;
}

std::string impossible_text(const Nudged& nudged, const Ink& ink) {
  std::vector<std::string> names;
  for (const Step& step : nudged.nudge.steps) {
    if (!step.why_not.empty()) names.push_back(step.name);
  }
  if (names.empty()) return "";
  return "\n" + ink.heading("Can't be built, or does not stand") + "\n  " + wrapped(names_listed(names), 2) + "\n";
}

std::string play_text(const Nudged& nudged, const TextStyle& style) {
  const Model& model = nudged.solved.model;
  const double play_mm = model.spread.pin_play_mm.value;
  if (play_mm == 0) return "";
  Table table;
  table.columns = {{fmt::format("With {:g} mm of play at each joint", play_mm), "", "", Align::left},
                   quantity_column(name::ride_height),
                   quantity_column(name::as_built),
                   {"lower by", "mm"}};
  const Quantity &height = quantity(name::ride_height), &built = quantity(name::as_built);
  for (const int c : nudged.corners) {
    const CornerResult& corner = at(nudged.solved.solution.corners, c);
    if (!corner.ride_height_mm || !corner.as_built_height_mm) continue;
    table.rows.push_back({shown(corner.name), number(height, corner.ride_height_mm),
                          number(built, corner.as_built_height_mm),
                          number(*corner.ride_height_mm - *corner.as_built_height_mm, 2)});
  }
  const std::string text = table_text(std::move(table), style);
  return text.empty() ? "" : "\n" + text;
}

std::string lead_text(const Nudged& nudged, const Ink& ink) {
  const std::string name = shown(nudged.solved.model.name);
  const double step = nudged.nudge.step_mm / nudged.solved.model.module_mm;
  const std::string text =
      wrapped(fmt::format("{}: what one step of each part does, the greatest effect first. BODY.HOLE u+{:g} is that "
                          "hole {} farther along u of "
                          "its body's grid. Each is tried alone, at every corner that shares the linkage.",
                          name, step, step == 1 ? std::string("one module") : fmt::format("{:g} module", step)),
              0);
  const bool name_is_whole = text.compare(0, name.size(), name) == 0;
  return (name_is_whole ? ink.heading(name) + text.substr(name.size()) : text) + "\n";
}

}  // namespace

std::pair<std::size_t, std::size_t> steps_tried(const Nudged& nudged) {
  std::size_t tried = nudged.nudge.steps.size(), all = nudged.nudge.all_steps;
  for (const Nudge& each : nudged.steering) {
    tried += each.steps.size();
    all += each.all_steps;
  }
  return {tried, all};
}

std::string nudge_text(const Nudged& nudged, const TextStyle& style) {
  std::string text = lead_text(nudged, style.ink);
  bool first = true;
  for (const int corner : nudged.corners) {
    for (int w = 0; w < count(at(nudged.solved.solution.corners, corner).wheels); ++w) {
      text += wheel_table(nudged, corner, w, {style.ink, style.terse || !first});  // explained once
      first = false;
    }
  }
  for (const Nudge& nudge : nudged.steering) text += steering_table(nudged, nudge, style);
  text += impossible_text(nudged, style.ink) + play_text(nudged, style);
  if (const auto [tried, all] = steps_tried(nudged); tried < all)
    text += "\n" +
            wrapped(fmt::format("This is not all: {} of {} steps were tried in the time. Give more with --limit.",
                                tried, all),
                    0) +
            "\n";
  if (!nudged.solved.model.weighed.empty())
    text += "\n" + wrapped("Its [[weighed]] readings are taken to hold after each step.", 0) + "\n";
  return text;
}

}  // namespace ridepitch
