#include "cli/searched.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "cli/quantity_text.hpp"
#include "model/index.hpp"
#include "swap/change_words.hpp"
#include "swap/search_words.hpp"
#include "words/number.hpp"

namespace ridepitch {
namespace {

/// Of all figures of a wanted quantity the greatest miss, with its sign; not a number where it is not wanted.
double greatest_miss(const Aims& aims, const Quantity* quantity, const Found& found) {
  double worst = std::nan("");
  for (const Aim& want : aims.wants) {
    if (want.what != quantity) continue;
    for (std::size_t i = 0; i < want.figures.size(); ++i) {
      const double miss = at(found.values, want.figures[i]) - want.target[i];
      if (!(std::abs(miss) <= std::abs(worst))) worst = miss;
    }
  }
  return worst;
}

/// Those that have a column.
std::vector<const Quantity*> wanted_quantities(const Aims& aims) {
  constexpr std::size_t most_columns = 4;
  std::vector<const Quantity*> wanted;
  for (const Aim& want : aims.wants)
    if (wanted.size() < most_columns && std::find(wanted.begin(), wanted.end(), want.what) == wanted.end())
      wanted.push_back(want.what);
  return wanted;
}

std::string miss_text(const Quantity& quantity, double miss) {
  const std::string text = signed_number(quantity, miss);
  return text.empty() ? number(quantity, miss) : text;
}

std::string need_text(const Constraint& need) {
  std::string text(need.what->words);
  if (!need.of.empty()) text = shown(need.of) + " " + text;
  const double shown_for_1 = need.what->shown;
  if (need.least) text += fmt::format(" at least {:g}", *need.least * shown_for_1);
  if (need.most) text += fmt::format("{} at most {:g}", need.least ? " and" : "", *need.most * shown_for_1);
  return need.what->unit.empty() ? text : fmt::format("{} {}", text, need.what->unit);
}

std::string first_sentence(const Tuned& tuned) {
  const SearchResult& r = tuned.result;
  const std::string seen = depth_words(r);
  if (r.found.empty()) {
    if (r.counts.hold > 0) return fmt::format("{}, but none of those that were checked can be built.", seen);
    return saw_all(r) ? fmt::format("None of all {} layouts has what is wanted.", count_text(r.candidates))
                      : fmt::format("Nothing that has what is wanted was found: {}.", seen);
  }
  const Found& best = r.found.front();
  const std::string changes = best.changed == 0 ? "the model as it stands" : changes_counted(best.changed);
  if (best.misses.empty())
    return fmt::format("{} {} everything that is wanted: {}.", changes,
                       best.changed == 1 || best.changed == 0 ? "has" : "have", seen);
  return fmt::format("nothing {}has everything that is wanted: {}. The nearest: {}.",
                     saw_all(r) ? "" : "that was looked at ", seen,
                     shown(misses_words(tuned.before.model, tuned.aims, best)));
}

/// ", at rear left and rear right", where that is not every corner that stands on the ground.
std::string at_corners(const Model& model, const Change& change) {
  const std::vector<std::string> corners = corners_changed(model, change);
  const auto on_ground = std::count_if(model.corners.begin(), model.corners.end(), [&](const Corner& corner) {
    return at(model.linkages, corner.linkage).plane != Plane::top;
  });
  return count(corners) == on_ground ? "" : ", at " + names_listed(corners);
}

}  // namespace

std::string results_text(const Model& model, const Aims& aims, const std::vector<Found>& found,
                         const TextStyle& style) {
  Table table;
  table.columns = {{"Results", "", "the best of those that change the same things", Align::left},
                   {"changes", "", "how many holes, rods and springs differ from the file"},
                   {"price", "", "of all parts on the price list"},
                   {"alike", "", "so many that change the same things hold, itself among them"}};
  const std::vector<const Quantity*> wanted = wanted_quantities(aims);
  for (const Quantity* what : wanted)
    table.columns.push_back({std::string(what->words), what->unit.empty() ? "off" : std::string(what->unit) + " off",
                             what == wanted[0] ? "how far it is off what is wanted, where that is most" : ""});
  for (std::size_t k = 0; k < found.size(); ++k) {
    const Found& f = found[k];
    Row row = {std::to_string(k + 1), std::to_string(f.changed), std::isnan(f.price) ? "-" : number(f.price, 2),
               count_text(f.group)};
    for (const Quantity* what : wanted) row.push_back(miss_text(*what, greatest_miss(aims, what, f)));
    table.rows.push_back(std::move(row));
  }
  std::string text = table_text(std::move(table), style) + "\n" + style.ink.heading("What they change") + "\n";
  for (std::size_t k = 0; k < found.size(); ++k) {
    std::string changes;
    for (const Change& change : found[k].changes)
      changes += (changes.empty() ? "" : "; ") + shown(change_words(model, change)) + at_corners(model, change);
    if (changes.empty()) changes = "nothing: the model as it stands";
    if (const std::string misses = misses_words(model, aims, found[k]); !misses.empty())
      changes += ". Misses: " + shown(misses);
    if (const std::string fresh = new_findings_words(found[k].new_findings); !fresh.empty())
      changes += ". Brings " + shown(fresh);
    text += fmt::format("  {:<3}  {}\n", k + 1, wrapped(changes, 7));
  }
  return text;
}

std::string search_text(const Aims& aims, const SearchResult& r, bool by_kernel, const std::string& by) {
  const SearchCounts& c = r.counts;
  std::string text;
  for (const Depth& depth : r.depths)
    text += fmt::format("{}{} with {}: {} hold{}", text.empty() ? "" : ", ", count_text(depth.candidates),
                        changes_counted(depth.changes), count_text(depth.hold), depth.hold == 1 ? "s" : "");
  text = text.empty() ? "No number of changes was looked at in full." : "Looked at in full: " + text + ".";
  if (!r.as_deep_as_asked)
    text += r.stopped ? " Stopped there." : " The rest was left for want of time: give more with --limit.";
  text += fmt::format(" {:.1f} s.", r.seconds);
  if (r.why_sampled.empty())
    text += fmt::format(
        " What is wanted settles how the vehicle stands, so the linkages were searched one by one: {} springs between "
        "places were tried against the load, and {} vehicles that were left were put together.",
        count_text(c.tested), count_text(c.assembled));
  else
    text += fmt::format(" Every layout was put together as a whole, since {}.", r.why_sampled);
  const auto most = std::max_element(c.ruled_out.begin(), c.ruled_out.end());
  if (most != c.ruled_out.end() && *most > 0)
    text += fmt::format(" Of those the need that ruled out most: {} ({}).",
                        need_text(aims.needs[static_cast<std::size_t>(most - c.ruled_out.begin())]), count_text(*most));
  if (c.without_value > 0) text += fmt::format(" {} have no value for something wanted.", count_text(c.without_value));
  if (by_kernel) {
    text += fmt::format(" By the closed form ({})", by);
    if (c.by_general_solver > 0)
      text += fmt::format(", and {} that it could not tell by the general solver", count_text(c.by_general_solver));
    text += "; what is shown was solved again by the general solver.";
  } else {
    text += fmt::format(" By the general solver alone, which takes longer: {}.", by);
  }
  if (const std::string checked = checked_words(r); !checked.empty()) text += " " + checked + ".";
  if (c.left > 0) text += fmt::format(" {} were left for want of time: give more with --limit.", count_text(c.left));
  return text;
}

std::string tune_text(const Tuned& tuned, const TuneOptions& how, const TextStyle& style) {
  const Model& model = tuned.before.model;
  std::string text = wrapped(fmt::format("{}: {}", shown(model.name), first_sentence(tuned)), 0) + "\n\n";
  if (!tuned.result.found.empty()) text += results_text(model, tuned.aims, tuned.result.found, style) + "\n";
  text += wrapped(search_text(tuned.aims, tuned.result, tuned.by_kernel, tuned.by), 0) + "\n";
  if (!tuned.written.empty())
    text += wrapped(fmt::format("Result {} was written to {}.", how.pick, shown(tuned.written)), 0) + "\n";
  return text;
}

}  // namespace ridepitch
