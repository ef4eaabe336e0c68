#include "cli/searched.hpp"

#include <fmt/format.h>

#include <cmath>
#include <set>

#include "cli/quantity_text.hpp"
#include "cli/shopping_text.hpp"
#include "model/index.hpp"
#include "ride/quantity_readers.hpp"
#include "swap/change_words.hpp"
#include "swap/search_words.hpp"
#include "words/number.hpp"

namespace ridepitch {
namespace {

constexpr std::size_t most_alone = 3;  // springs of which it is told what they do by themselves

/// How many of the springs were tried.
std::size_t tried_of(const std::vector<StandIn>& alone) {
  return static_cast<std::size_t>(
      std::count_if(alone.begin(), alone.end(), [](const StandIn& each) { return each.tried; }));
}

/// How many kinds of spring a layout puts in place of those that are gone.
std::size_t kinds_of_springs(const Changes& changes) {
  std::set<std::string> kinds;
  for (const Change& change : changes)
    if (const auto* set = std::get_if<SetSpring>(&change)) kinds.insert(set->part);
  return kinds.size();
}

std::string answer(const Reworked& r) {
  const std::string gone = names_shown(r.gone);
  if (!r.holes.searched && !r.alone.empty() && r.alone.front().comparison.holds)
    return fmt::format("without {}, {} {} in its place {} (nothing else changed)", gone, r.alone.front().count,
                       shown(r.alone.front().part), r.alone.front().comparison.verdict);
  if (!r.holes.searched && !r.alone.empty() && !r.alone.front().part.empty())
    return fmt::format(
        "without {} nothing of the catalogue makes it stand and ride as before by itself; the nearest: {}", gone,
        r.alone.front().stands ? r.alone.front().comparison.verdict : r.alone.front().why_not);
  if (!r.holes.searched) return fmt::format("nothing of the catalogue can stand in for {}", gone);
  const SearchResult& search = r.holes.result;
  const std::string seen = depth_words(search);
  if (const std::vector<const Changes*> choices = r.choices(); !choices.empty()) {
    const Layout& best = *std::find_if(r.holes.layouts.begin(), r.holes.layouts.end(),
                                       [](const Layout& each) { return each.comparison.holds; });
    return fmt::format("without {} {} {}{}: it {}; {}", gone, changes_counted(best.found.changed),
                       best.found.changed == 1 ? "does" : "do",
                       kinds_of_springs(best.found.changes) > 1 ? ", with different springs" : "",
                       best.comparison.verdict, seen);
  }
  if (search.counts.hold > 0)
    return fmt::format("without {} layouts hold by the numbers, but none of the {} that were checked can be built; {}",
                       gone, count_text(search.checked), seen);
  std::string nearest;
  if (!r.holes.layouts.empty())
    nearest = fmt::format(". The nearest miss: {}",
                          shown(misses_words(r.before.model, r.holes.aims, r.holes.layouts.front().found)));
  if (saw_all(search))
    return fmt::format("without {} none exists among all {} layouts that makes it stand and ride as before{}", gone,
                       count_text(search.candidates), nearest);
  return fmt::format("without {} nothing that makes it stand and ride as before was found: {}{}", gone, seen, nearest);
}

std::string alone_text(const Reworked& r, std::size_t most, const TextStyle& style) {
  Table table;
  table.columns = {{"By itself", "", "what a part does in its place, nothing else changed", Align::left},
                   {"count", "", "equal springs side by side in place of each that is gone"},
                   {"holds", "", "whether everything stays within what is kept", Align::left},
                   {"price", "more", "than the springs cost before"},
                   {"what happens", "", "", Align::left}};
  const std::size_t tried = tried_of(r.alone);
  for (std::size_t i = 0; i < std::min(most, tried); ++i) {
    const StandIn& each = r.alone[i];
    table.rows.push_back({shown(each.part), std::to_string(each.count), each.comparison.holds ? "yes" : "no",
                          r.before.model.has_prices && !std::isnan(each.price_more) ? number(each.price_more, 2) : "-",
                          each.stands ? each.comparison.verdict : each.why_not});
  }
  std::string text = table_text(std::move(table), style);
  if (tried > most) text += fmt::format("  and {} others that are farther off\n", tried - most);
  return text;
}

std::string kept_text(const Reworked& r) {
  return wrapped("Kept: " + keep_words(r.keep, is_steered(r.before.model)) + ".", 0) + "\n";
}

/// Of a spring which one, at which corners, and how many in all: " as 'main' at rear left and rear right: 4 in all". Of a hole or rod
/// of a moving body at which corners; a hole of the chassis says so itself.
std::string where_words(const Model& model, const Change& change) {
  const auto* move = std::get_if<MoveHole>(&change);
  if (move && move->body == chassis) return "";
  const std::vector<std::string> corners = corners_changed(model, change);
  const auto* set = std::get_if<SetSpring>(&change);
  if (!set) return ", at " + names_listed(corners);
  const Spring& spring = at(at(model.linkages, set->linkage).springs, set->spring);
  return fmt::format(" as '{}' at {}: {} in all", shown(spring.name), names_listed(corners),
                     set->count * count(corners));
}

/// What to do, what to buy, and what ruler and scale will then say.
std::string plan_text(const Reworked& r, const TextStyle& style) {
  if (!r.picked) return "";
  std::string text = "\n" + style.ink.heading("What to do") + "\n";
  for (const Change& change : r.picked_changes)
    text +=
        "  - " + wrapped(shown(builder_words(r.before.model, change)) + where_words(r.before.model, change), 4) + "\n";
  text += shopping_text(shopping(r.before.model, r.picked->model), r.picked->model.has_prices, style);
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
    if (each.comparison.holds && !holes.searched) out.push_back(&each.changes);
  for (const Layout& each : holes.layouts)
    if (each.comparison.holds) out.push_back(&each.found.changes);
  return out;
}

namespace {

std::string chance_of(const Layout& layout) {
  return layout.chance ? "; chance that a built one keeps all that is kept: " + chance_words(*layout.chance) : "";
}

}  // namespace

std::string rework_text(const Reworked& r, const TextStyle& style) {
  const std::string& name = r.before.model.name;
  std::string text = wrapped(fmt::format("{}: {}.", shown(name), answer(r)), 0) + "\n\n";
  if (r.holes.searched && !r.holes.layouts.empty()) {
    std::vector<Found> found;
    for (const Layout& layout : r.holes.layouts) found.push_back(layout.found);
    text +=
        results_text(r.before.model, r.holes.aims, found, style) + "\n" + style.ink.heading("What then happens") + "\n";
    for (std::size_t i = 0; i < r.holes.layouts.size(); ++i)
      text += fmt::format("  {:<3}  {}\n", i + 1,
                          wrapped((r.holes.layouts[i].comparison.holds ? "holds: it " : "does not hold: it ") +
                                      r.holes.layouts[i].comparison.verdict + chance_of(r.holes.layouts[i]),
                                  7));
    text += "\n";
  }
  if (!r.alone.empty()) text += alone_text(r, most_alone, style) + "\n";
  if (r.holes.searched)
    text += wrapped(search_text(r.holes.aims, r.holes.result, r.holes.by_kernel, r.holes.by), 0) + "\n";
  text += kept_text(r) + plan_text(r, style);
  if (!r.written.empty()) text += "\n" + wrapped(fmt::format("That was written to {}.", shown(r.written)), 0) + "\n";
  return text;
}

}  // namespace ridepitch
