#include "cli/searched.hpp"

#include <fmt/format.h>

#include <cmath>

#include "cli/quantity_text.hpp"
#include "model/index.hpp"
#include "ride/quantity_readers.hpp"
#include "swap/change_words.hpp"

namespace ridepitch {
namespace {

/// How many of a list's stand-ins or layouts hold.
std::size_t holding(const auto& list) {
  return static_cast<std::size_t>(
      std::count_if(list.begin(), list.end(), [](const auto& each) { return each.comparison.holds; }));
}

/// How many of the springs were tried, and how many there are.
std::pair<std::size_t, std::size_t> tried_of(const std::vector<StandIn>& alone) {
  const auto tried = std::count_if(alone.begin(), alone.end(), [](const StandIn& each) { return each.tried; });
  return {static_cast<std::size_t>(tried), alone.size()};
}

std::string answer(const Reworked& r) {
  const std::string gone = names_shown(r.gone);
  if (const std::size_t n = holding(r.alone); n > 0) {
    const StandIn& best = r.alone.front();
    return fmt::format("without {}, {} {} in its place {} (nothing else changed){}", gone, best.count, shown(best.part),
                       best.comparison.verdict, n > 1 ? fmt::format("; {} other choices hold too", n - 1) : "");
  }
  if (const auto [tried, all] = tried_of(r.alone); tried < all)
    return fmt::format(
        "without {} nothing that makes it stand and ride as before was found in the time: {} of {} springs tried", gone,
        tried, all);
  if (!r.holes.searched)
    return fmt::format("no spring of the catalogue, 1 to 3 side by side, can stand in for {}", gone);
  if (const std::size_t n = holding(r.holes.layouts); n > 0)
    return fmt::format("without {} no spring does by itself, but with other holes it {}: {} layout{} found", gone,
                       r.holes.layouts.front().comparison.verdict, n, n == 1 ? "" : "s");
  const SearchResult& search = r.holes.result;
  const std::string all = count_text(search.candidates);
  if (!saw_all(search))
    return fmt::format(
        "without {} no spring does by itself, and holes that make it stand and ride as before were not found {}: {}",
        gone, search.stopped ? "before it was stopped" : "in the time", looked_at_words(search));
  if (search.counts.passing == 0)
    return fmt::format(
        "without {} no spring does by itself, and none of the {} choices of holes and rods around it makes it stand "
        "and ride as before",
        gone, all);
  return fmt::format(
      "without {} no spring does by itself, and none of the {} best of {} choices of holes and rods around it makes it "
      "stand and ride as before",
      gone, r.holes.layouts.size(), all);
}

std::string alone_text(const Reworked& r, std::size_t most, const TextStyle& style) {
  Table table;
  table.columns = {{"In its place", "", "", Align::left},
                   {"count", "", "equal springs side by side in place of each that is gone"},
                   {"holds", "", "whether everything stays within what is kept", Align::left},
                   {"price", "more", "than the springs cost before"},
                   {"what happens", "", "", Align::left}};
  const std::size_t tried = tried_of(r.alone).first;
  for (std::size_t i = 0; i < std::min(most, tried); ++i) {
    const StandIn& each = r.alone[i];
    table.rows.push_back({shown(each.part), std::to_string(each.count), each.comparison.holds ? "yes" : "no",
                          r.before.model.has_prices && !std::isnan(each.price_more) ? number(each.price_more, 2) : "-",
                          clipped(each.stands ? each.comparison.verdict : each.why_not, 58)});
  }
  std::string text = table_text(std::move(table), style);
  if (tried > most) text += fmt::format("  and {} others that are farther off\n", tried - most);
  return text;
}

std::string kept_text(const Reworked& r) {
  return wrapped("Kept: " + keep_words(r.keep, is_steered(r.before.model)) + ".", 0) + "\n";
}

/// What to do, and what ruler and scale will then say.
std::string plan_text(const Reworked& r, const TextStyle& style) {
  if (!r.picked) return "";
  std::string text = "\n" + style.ink.heading("What to do") + "\n";
  for (const Change& change : r.picked_changes)
    text += "  - " + wrapped(shown(builder_words(r.before.model, change)), 4) + "\n";
  const std::vector<std::string_view> numbers = {name::ride_height, name::ground_load, name::wheel_rate,
                                                 name::bump_travel};
  Table table;
  table.columns = {{"What it then reads", "", "", Align::left}};
  for (const std::string_view name : numbers) {
    table.columns.push_back(quantity_column(name));
    table.columns.push_back({"was", table.columns.back().unit, ""});
  }
  for (const Figure& part : corners_and_wheels(r.picked->model)) {
    if (part.wheel < 0 || !at(at(r.picked->solution.corners, part.corner).wheels, part.wheel).load_n) continue;
    Row row = {shown(figure_place(r.picked->model, part))};
    for (const std::string_view name : numbers) {
      const Quantity& what = quantity(name);
      Figure figure = part;
      figure.what = &what;
      for (const Solved* solved : {&*r.picked, &r.before})
        row.push_back(number(what, value_of(solved->model, solved->solution, figure)));
    }
    table.rows.push_back(std::move(row));
  }
  return text + "\n" + table_text(std::move(table), {style.ink, true});
}

}  // namespace

std::vector<const Changes*> Reworked::choices() const {
  std::vector<const Changes*> out;
  for (const StandIn& each : alone)
    if (each.comparison.holds) out.push_back(&each.changes);
  for (const Layout& each : holes.layouts)
    if (each.comparison.holds) out.push_back(&each.found.changes);
  return out;
}

std::string rework_text(const Reworked& r, const TuneOptions& how, const TextStyle& style) {
  const std::string& name = r.before.model.name;
  std::string text = wrapped(fmt::format("{}: {}.", shown(name), answer(r)), 0) + "\n\n";
  text += alone_text(r, static_cast<std::size_t>(how.top), style) + "\n";
  if (r.holes.searched) {
    std::vector<Found> found;
    for (const Layout& layout : r.holes.layouts) found.push_back(layout.found);
    if (!found.empty()) {
      text += results_text(r.before.model, r.holes.aims, found, style) + "\n" + style.ink.heading("What then happens") +
              "\n";
      for (std::size_t i = 0; i < r.holes.layouts.size(); ++i)
        text += fmt::format("  {:<3}  {}\n", i + 1,
                            wrapped((r.holes.layouts[i].comparison.holds ? "holds: it " : "does not hold: it ") +
                                        r.holes.layouts[i].comparison.verdict,
                                    7));
      text += "\n";
    }
    text += wrapped(search_text(r.holes.aims, r.holes.result, r.holes.by_kernel, r.holes.by), 0) + "\n";
  }
  text += kept_text(r) + plan_text(r, style);
  if (!r.written.empty()) text += "\n" + wrapped(fmt::format("That was written to {}.", shown(r.written)), 0) + "\n";
  return text;
}

}  // namespace ridepitch
