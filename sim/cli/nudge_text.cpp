#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "cli/nudged.hpp"
#include "cli/page.hpp"
#include "cli/where_text.hpp"
#include "swap/grouped.hpp"

namespace ridepitch {
namespace {

/// The quantities that have a column.
struct Shown {
  const char* name;
  const char* heading;
  const char* word;  ///< of the glossary, which explains it
};
constexpr Shown columns[] = {{"ride_height_mm", "height", "ride height"}, {"pitch_deg", "pitch", "pitch"},
                             {"motion_ratio", "ratio", "motion ratio"},   {"wheel_rate_n_per_mm", "rate", "wheel rate"},
                             {"bump_travel_mm", "bump", "bump"},          {"reserve", "reserve", "reserve"}};

/// Index of the cell of a quantity at a wheel; none if there is none.
std::optional<std::size_t> cell_at(const Nudge& nudge, std::string_view quantity, std::size_t corner,
                                   std::size_t wheel) {
  for (std::size_t i = 0; i < nudge.cells.size(); ++i) {
    const Cell& cell = nudge.cells[i];
    if (cell.quantity->name != quantity) continue;
    if (cell.spot.scope == Scope::vehicle ||
        (cell.spot.corner == corner && (cell.spot.scope == Scope::corner || cell.spot.wheel == wheel)))
      return i;
  }
  return std::nullopt;
}

/// A change with its sign; what does not show is left empty, so that the others stand out.
std::string change_text(const Cell& cell, const std::optional<double>& value) {
  if (!value || !cell.now) return "-";
  const double change = (*value - *cell.now) * cell.quantity->shown;
  const std::string text = number(std::abs(change), cell.quantity->decimals);
  if (text.find_first_not_of("0.") == std::string::npos) return "";
  return (change < 0 ? "-" : "+") + text;
}

std::vector<const Step*> sorted_steps(const Nudged& nudged, std::size_t corner, std::size_t wheel) {
  std::vector<std::pair<double, const Step*>> steps;
  const int linkage = nudged.solved.model.corners[corner].linkage;
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

std::string wheel_table(const Nudged& nudged, std::size_t corner, std::size_t wheel, const TextStyle& style) {
  const Nudge& nudge = nudged.nudge;
  const CornerResult& result = nudged.solved.solution.corners[corner];
  const std::string where = result.name + "/" + result.wheels[wheel].name;
  Table table;
  table.columns.push_back({shown(where), "", "", Align::left});
  std::vector<std::size_t> cells;
  Row now = {"as it stands"};
  for (const Shown& each : columns) {
    const auto cell = cell_at(nudge, each.name, corner, wheel);
    if (!cell) continue;
    cells.push_back(*cell);
    const Quantity& quantity = *nudge.cells[*cell].quantity;
    table.columns.push_back(word_column(each.heading, std::string(quantity.unit), each.word));
    const auto& value = nudge.cells[*cell].now;
    now.push_back(number(value ? std::optional(*value * quantity.shown) : std::nullopt, quantity.decimals));
  }
  table.columns.push_back({"", "", "", Align::left});
  now.push_back("");
  table.rows.push_back(std::move(now));
  std::size_t without_effect = 0;
  for (const Step* step : sorted_steps(nudged, corner, wheel)) {
    Row row = {shown(step->name)};
    for (const std::size_t cell : cells) row.push_back(change_text(nudge.cells[cell], step->values[cell]));
    row.push_back(state_after(*step, where));
    const bool nothing =
        std::all_of(row.begin() + 1, row.end(), [](const std::string& text) { return text.empty() || text == "-"; });
    if (nothing) {
      ++without_effect;
    } else {
      table.rows.push_back(std::move(row));
    }
  }
  std::string text = "\n" + table_text(std::move(table), style);
  if (without_effect > 0)
    text +=
        fmt::format("  {} other step{} without effect here.\n", without_effect, without_effect == 1 ? " is" : "s are");
  return text;
}

/// What a figure's values are shown with.
int decimals_of(const Figure& figure) { return figure.quantity == "turn_radius_mm" ? 0 : 2; }

std::string steering_table(const Nudged& nudged, const SteeringNudge& nudge, const TextStyle& style) {
  const Model& model = nudged.solved.model;
  const Corner& corner = model.corners[static_cast<std::size_t>(nudge.corner)];
  const Linkage& linkage = model.linkages[static_cast<std::size_t>(corner.linkage)];
  Table table;
  table.columns.push_back({shown(corner.name), "", "", Align::left});
  Row now = {"as it stands"};
  bool first = true;
  for (std::size_t f = 0; f < nudge.figures.size(); ++f) {
    const Figure& figure = nudge.figures[f];
    if (figure.wheel >= 0) {
      const std::string heading = shown(linkage.wheels[static_cast<std::size_t>(figure.wheel)].name);
      table.columns.push_back(first ? word_column(heading, "deg", "lock") : Column{heading, "deg"});
      first = false;
    } else if (figure.quantity == "turn_radius_mm") {
      table.columns.push_back(word_column("turn radius", "mm"));
    } else {
      table.columns.push_back(word_column("worst error", "deg"));
    }
    now.push_back(number(nudge.now[f], decimals_of(figure)));
  }
  table.rows.push_back(std::move(now));
  std::size_t without_effect = 0;
  std::vector<std::string> impossible;
  for (const Step& step : nudge.steps) {
    if (!step.why_not.empty()) {
      impossible.push_back(shown(step.name));
      continue;
    }
    Row row = {shown(step.name)};
    for (std::size_t f = 0; f < nudge.figures.size(); ++f) {
      if (!step.values[f] || !nudge.now[f]) {
        row.push_back("-");
        continue;
      }
      const double change = *step.values[f] - *nudge.now[f];
      const std::string size = number(std::abs(change), decimals_of(nudge.figures[f]));
      row.push_back(size.find_first_not_of("0.") == std::string::npos ? "" : (change < 0 ? "-" : "+") + size);
    }
    const bool nothing =
        std::all_of(row.begin() + 1, row.end(), [](const std::string& text) { return text.empty() || text == "-"; });
    if (nothing)
      ++without_effect;
    else
      table.rows.push_back(std::move(row));
  }
  std::string text = "\n" + table_text(std::move(table), style);
  if (without_effect > 0)
    text +=
        fmt::format("  {} other step{} without effect here.\n", without_effect, without_effect == 1 ? " is" : "s are");
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
  if (!nudged.play) return "";
  Table table;
  table.columns = {
      {fmt::format("With {:g} mm of play at {} joints", nudged.play_mm, nudged.play->joints), "", "", Align::left},
      {"now", "", ""},
      {"likely", "", "off by, either way: root of the sum of squares, over all joints, of what each does"},
      {"at worst", "", "off by, either way: the sum of what each does, all off the worst way at once"}};
  const Quantity* last = nullptr;
  std::vector<GroupedRow> rows;
  std::size_t all = 0;
  const auto flush = [&] {
    if (!last) return;
    table.rows.push_back({fmt::format("{}{}{}", last->words, last->unit.empty() ? "" : ", ", last->unit)});
    for (const GroupedRow& row : rows) {
      Row cells = {"  " + where_text(row.where, all, last->of)};
      cells.insert(cells.end(), row.cells.begin(), row.cells.end());
      table.rows.push_back(std::move(cells));
    }
    rows.clear();
    all = 0;
  };
  for (const Spread& each : nudged.play->spreads) {
    if (each.quantity != last) flush();
    last = each.quantity;
    ++all;
    const int finer = each.quantity->decimals + 1;
    add_to(rows, {number(each.now, each.quantity->decimals), number(each.likely, finer), number(each.worst, finer)},
           each.spot.where);
  }
  flush();
  std::string text = "\n" + table_text(std::move(table), style);
  if (!nudged.play->not_known.empty()) {
    text +=
        "  " +
        wrapped("Left out, since it does not stand with them a hair off: " + names_listed(nudged.play->not_known) + ".",
                2) +
        "\n";
  }
  return text;
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

std::string nudge_text(const Nudged& nudged, const TextStyle& style) {
  std::string text = lead_text(nudged, style.ink);
  bool first = true;
  for (const std::size_t corner : nudged.corners) {
    for (std::size_t w = 0; w < nudged.solved.solution.corners[corner].wheels.size(); ++w) {
      text += wheel_table(nudged, corner, w, {style.ink, style.terse || !first});  // explained once
      first = false;
    }
  }
  for (const SteeringNudge& nudge : nudged.steering) text += steering_table(nudged, nudge, style);
  text += impossible_text(nudged, style.ink) + play_text(nudged, style);
  if (!nudged.solved.model.weighed.empty())
    text += "\n" + wrapped("Its [[weighed]] readings are taken to hold after each step.", 0) + "\n";
  return text;
}

}  // namespace ridepitch
