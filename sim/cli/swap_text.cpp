#include "cli/swapped.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <string_view>

#include "cli/page.hpp"
#include "cli/problem_text.hpp"
#include "cli/quantity_text.hpp"
#include "cli/shopping_text.hpp"
#include "swap/change_words.hpp"

namespace ridepitch {
namespace {

std::string paragraph(std::string_view lead, const std::string& text) {
  return std::string(lead) + wrapped(text, width_of(lead)) + "\n";
}

// --------------------------------------------------------------------------------------- changes

std::string changes_text(const Swapped& swapped, const Ink& ink) {
  const Model& model = swapped.before.model;
  std::string text;
  for (const Change& change : swapped.changes) {
    const std::vector<std::string> corners = corners_changed(model, change);
    const bool shared = corners.size() > 1 && !std::holds_alternative<RemoveBar>(change);
    const std::string where =
        corners.empty() ? "" : ", at " + names_listed(corners) + (shared ? ", which share that linkage" : "");
    text += paragraph("  ", shown(change_words(model, change)) + where);
  }
  if (swapped.changes.empty()) {
    std::vector<GroupedRow> groups;
    for (const Difference& each : swapped.comparison.differences) {
      constexpr std::array<std::string_view, 6> of_linkage = {"hole", "part", "rod", "height", "tyre", "spring"};
      const bool of_corner = std::find(of_linkage.begin(), of_linkage.end(), each.quantity) != of_linkage.end();
      if (!of_corner && each.quantity != "bar") continue;
      const std::size_t slash = each.where.find('/');  // the names of corners hold none
      const std::string name = of_corner ? each.where.substr(slash + 1) : each.where;
      add_to(groups, {fmt::format("{} {}: {} -> {}", each.quantity, name, each.before_words, each.after_words)},
             of_corner ? each.where.substr(0, slash) : "");
    }
    for (const GroupedRow& group : groups) {
      text +=
          paragraph("  ", shown(group.cells[0]) + (group.where[0].empty() ? "" : ", at " + names_listed(group.where)));
    }
  }
  return text.empty() ? "" : "\n" + ink.heading("Changed") + "\n" + text;
}

// --------------------------------------------------------------------------------------- side by side

std::string range_text(const Difference& difference, const Quantity& quantity) {
  const auto limit = [&](double value) { return number(quantity, value); };
  if (!difference.least) return "";
  if (!difference.most) return limit(*difference.least) + " or more";
  return limit(*difference.least) + " to " + limit(*difference.most);
}

std::string judgement(const Difference& difference) {
  if (difference.within) return "";
  if (!difference.after) return "there is none";
  return *difference.after < *difference.before ? "too low" : "too high";
}

/// Rows of one quantity; places that show the same digits share one.
void add_rows(const Comparison& comparison, const Quantity& quantity, bool with_ruler, Table& table) {
  std::vector<GroupedRow> rows;
  for (const Difference& each : comparison.differences) {
    if (each.quantity != quantity.name) continue;
    std::optional<double> change;
    if (each.before && each.after) change = *each.after - *each.before;
    std::vector<std::string> cells = {number(quantity, each.before), number(quantity, each.after),
                                      number(quantity, change), range_text(each, quantity), judgement(each)};
    if (with_ruler)
      cells.insert(cells.begin() + 3, each.expected_on_ruler_mm ? number(quantity, each.expected_on_ruler_mm) : "");
    add_to(rows, std::move(cells), each.where);
  }
  add_grouped(table, quantity, rows);
}

std::string side_by_side_text(const Swapped& swapped, const TextStyle& style) {
  Table table;
  table.columns = {{"Before and after", "", "", Align::left},
                   {"before", "", ""},
                   {"after", "", ""},
                   {"change", "", ""},
                   {"may be", "", "what it may be if the model is to stand the same; nothing there: told, not judged"},
                   {"", "", "", Align::left}};
  const auto& differences = swapped.comparison.differences;
  const bool with_ruler = std::any_of(differences.begin(), differences.end(),
                                      [](const Difference& each) { return each.expected_on_ruler_mm.has_value(); });
  if (with_ruler) table.columns.insert(table.columns.begin() + 4, word_column("expect on ruler", "mm"));
  for (const Quantity* quantity : told_quantities()) add_rows(swapped.comparison, *quantity, with_ruler, table);
  std::string text = "\n" + table_text(std::move(table), style);
  std::vector<GroupedRow> states;
  for (const Difference& each : swapped.comparison.differences) {
    const bool in_words = each.quantity == "state" || each.quantity == "corner" || each.quantity == "wheel";
    if (in_words) add_to(states, {fmt::format("{} before, now {}", each.before_words, each.after_words)}, each.where);
  }
  for (const GroupedRow& group : states) text += paragraph("  ", names_listed(group.where) + ": " + group.cells[0]);
  return text;
}

// --------------------------------------------------------------------------------------- needs

std::string need_words(const SpringNeed& need) {
  const std::string what = need.part.empty() ? "spring " + need.spring : need.part;
  const std::string each =
      need.count == 1 ? "the " + shown(what) : fmt::format("each of {} {}", need.count, shown(what));
  std::string text =
      fmt::format("spring {} needs a motion ratio of {:.3f}", shown(need.spring), need.motion_ratio_needed);
  text += need.motion_ratio_after ? fmt::format("; it has {:.3f}. ", *need.motion_ratio_after) : ". ";
  if (need.length_mm) {
    text += fmt::format("With that ratio {} bears {:.2f} N at {:.1f} mm", each, need.force_n, *need.length_mm);
    if (need.bump_travel_mm) text += fmt::format(", which leaves about {:.1f} mm of bump", *need.bump_travel_mm);
    return text + ".";
  }
  text += fmt::format("With that ratio {} would bear {:.2f} N, but it ", each, need.force_n);
  return text + (need.force_n > need.most_n
                     ? fmt::format("goes solid at {:.2f} N: no lever makes it do the same job.", need.most_n)
                     : fmt::format("does not give below {:.2f} N: no lever makes it do the same job.", need.least_n));
}

std::string needs_text(const Swapped& swapped, const Ink& ink) {
  std::vector<GroupedRow> groups;
  for (const SpringNeed& need : swapped.comparison.needs) add_to(groups, {need_words(need)}, need.wheel);
  if (groups.empty()) return "";
  std::string text = "\n" + ink.heading("What it needs") + "\n";
  for (const GroupedRow& group : groups) {
    text += paragraph("  ", fmt::format("For the same wheel rate under the same load at {}, {}",
                                        names_listed(group.where), group.cells[0]));
  }
  return text;
}

// --------------------------------------------------------------------------------------- the rest

std::string new_findings_text(const Swapped& swapped, const Ink& ink) {
  std::vector<GroupedRow> groups;
  for (const Finding& each : swapped.comparison.new_findings) {
    const std::string remedy = each.remedy.empty() ? "" : "\ntry: " + each.remedy;
    add_to(groups, {shown(each.text) + remedy}, each.where.empty() ? "the vehicle" : each.where);
  }
  if (groups.empty()) return "";
  std::string text = "\n" + ink.heading("New problems") + "\n";
  for (const GroupedRow& group : groups) {
    std::string words = group.cells[0];  // shown() has left the line break of the remedy out of it
    text += paragraph("  ", names_listed(group.where) + ": " + words);
  }
  return text;
}

std::string verdict_text(const Swapped& swapped, const Ink& ink) {
  const Model& before = swapped.before.model;
  const std::string name = shown(swapped.after && swapped.changes.empty() ? swapped.after->model.name : before.name);
  const std::string with = swapped.changes.empty()       ? ""
                           : swapped.changes.size() == 1 ? ", with the change"
                                                         : ", with the changes";
  const std::string chance =
      swapped.chance ? "; chance that a built one keeps all that is kept: " + chance_words(*swapped.chance) : "";
  const std::string text =
      wrapped(fmt::format("{}{}: {}{}.", name, with, shown(swapped.comparison.verdict), chance), 0);
  const bool name_is_whole = text.compare(0, name.size(), name) == 0;
  return (name_is_whole ? ink.heading(name) + text.substr(name.size()) : text) + "\n";
}

}  // namespace

std::string swap_text(const Swapped& swapped, const TextStyle& style) {
  std::string text = verdict_text(swapped, style.ink) + changes_text(swapped, style.ink);
  if (swapped.after) {
    const Model& after = swapped.after->model;
    text += shopping_text(shopping(swapped.before.model, after), after.has_prices, style);
    text += side_by_side_text(swapped, style);
  } else {
    text += "\n";
    for (const Problem& problem : swapped.why_not) text += problem_text(problem, "error", style.ink);
  }
  text += needs_text(swapped, style.ink) + new_findings_text(swapped, style.ink);
  if (swapped.after)
    text += "\n" +
            wrapped("The same means: " + keep_words(swapped.keep, is_steered(swapped.before.model)) +
                        " (--keep changes that).",
                    0) +
            "\n";
  if (!swapped.changes.empty() && !swapped.before.model.weighed.empty())
    text +=
        wrapped("Its [[weighed]] readings are taken to hold for it as changed: weigh it again, if wheels move.", 0) +
        "\n";
  if (!swapped.written.empty())
    text += wrapped(fmt::format("The changed model is in {}.", shown(swapped.written)), 0) + "\n";
  return text;
}

}  // namespace ridepitch
