#include "cli/searched.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "cli/quantity_text.hpp"
#include "model/index.hpp"
#include "swap/change_words.hpp"
#include "swap/grouped.hpp"
#include "words/listed.hpp"
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

std::string first_sentence(const SearchResult& r) {
  const std::string all = count_text(r.candidates), looked_at = count_text(r.counts.looked_at);
  if (r.found.empty() && !saw_all(r))
    return fmt::format("None that passes was found {}: {}.", r.stopped ? "before it was stopped" : "in the time",
                       looked_at_words(r));
  const std::string of = saw_all(r)     ? fmt::format("Of {} candidates", all)
                         : r.exhaustive ? fmt::format("Of {} candidates, {} looked at,", all, looked_at)
                                        : fmt::format("Of a sample of {} candidates,", all);
  if (r.found.empty() && r.counts.passing > 0 && !r.not_built.empty())
    return fmt::format("{} {} pass{}, but none of the {} best can be built.", of, count_text(r.counts.passing),
                       r.counts.passing == 1 ? "es" : "", count_text(r.checked));
  if (r.found.empty()) return of + " none passes.";
  const double miss = std::sqrt(r.found.front().score);
  const char* which = has_new_problem(r.found.back()) ? "the best without a new problem" : "the best";
  const std::string best =
      has_new_problem(r.found.front()) ? "each of those shown brings a problem that the model does not have"
      : miss < 0.05                    ? fmt::format("{} has everything that is wanted", which)
                    : fmt::format("{} misses what is wanted by {:.2g} tolerances in all", which, miss);
  return fmt::format("{} {} pass{}; {}.", of, count_text(r.counts.passing), r.counts.passing == 1 ? "es" : "", best);
}

/// "new problem: snap-through (front left/hub)"; empty where nothing is new.
std::string new_findings_words(const std::vector<Finding>& findings) {
  std::vector<GroupedRow> kinds;
  for (const Finding& each : findings)
    add_to(kinds, {fmt::format("{}: {}", each.level == Level::problem ? "problem" : "warning", each.code)}, each.where);
  std::vector<std::string> words;
  for (GroupedRow& kind : kinds) {
    std::erase(kind.where, "");
    words.push_back("new " + kind.cells[0] + (kind.where.empty() ? "" : " (" + names_listed(kind.where) + ")"));
  }
  return listed(words);
}

}  // namespace

std::string results_text(const Model& model, const Aims& aims, const std::vector<Found>& found,
                         const TextStyle& style) {
  Table table;
  table.columns = {
      {"Results", "", "", Align::left},
      {"score", "", "sum of (miss / tolerance) squared, times weight, over all that is wanted: 0 is perfect"},
      {"changes", "", "how many holes, rods and springs differ from the file"},
      {"price", "", "of all parts on the price list"},
      {"alike", "", "so many candidates differ from it by under a tenth of every tolerance, itself among them"},
      {"mark", "", "*: nothing else is at least as good in score, changes and price, and better in one", Align::left}};
  const std::vector<const Quantity*> wanted = wanted_quantities(aims);
  for (const Quantity* what : wanted)
    table.columns.push_back({std::string(what->words), what->unit.empty() ? "off" : std::string(what->unit) + " off",
                             what == wanted[0] ? "how far it is off what is wanted, where that is most" : ""});
  for (std::size_t k = 0; k < found.size(); ++k) {
    const Found& f = found[k];
    Row row = {std::to_string(k + 1),     number(f.score, 3),
               std::to_string(f.changed), std::isnan(f.price) ? "-" : number(f.price, 2),
               count_text(f.group),       f.unbeaten ? "*" : ""};
    for (const Quantity* what : wanted) row.push_back(miss_text(*what, greatest_miss(aims, what, f)));
    table.rows.push_back(std::move(row));
  }
  std::string text = table_text(std::move(table), style) + "\n" + style.ink.heading("What they change") + "\n";
  for (std::size_t k = 0; k < found.size(); ++k) {
    std::string changes;
    for (const Change& change : found[k].changes)
      changes += (changes.empty() ? "" : "; ") + shown(change_words(model, change));
    if (changes.empty()) changes = "nothing: the model as it stands";
    const std::string fresh = new_findings_words(found[k].new_findings);
    text += fmt::format("  {:<3}  {}\n", k + 1, wrapped(changes + (fresh.empty() ? "" : ". Brings " + fresh), 7));
  }
  return text;
}

std::string search_text(const Aims& aims, const SearchResult& r, bool by_kernel, const std::string& by) {
  const SearchCounts& c = r.counts;
  std::string text;
  if (r.exhaustive && !r.stopped) {
    text = fmt::format("Every candidate was looked at ({} in {:.1f} s", count_text(c.looked_at), r.seconds);
  } else if (r.exhaustive) {
    text = fmt::format("Stopped: this is not all ({} looked at in {:.1f} s", count_text(c.looked_at), r.seconds);
  } else {
    text = fmt::format(
        "There are too many to look at all of them in the time: a third of it went to a sample, the rest to the "
        "neighbours of its best and of others ({} looked at in {:.1f} s",
        count_text(c.looked_at), r.seconds);
  }
  text += fmt::format("). {} could be put together", count_text(c.assembled));
  if (c.skipped > 0)
    text += fmt::format(", {} were proved hopeless before that or before they stood", count_text(c.skipped));
  text += ".";
  const auto most = std::max_element(c.ruled_out.begin(), c.ruled_out.end());
  if (most != c.ruled_out.end() && *most > 0) {
    text += fmt::format(" The need that ruled out most: {} ({}).",
                        need_text(aims.needs[static_cast<std::size_t>(most - c.ruled_out.begin())]), count_text(*most));
  }
  if (c.without_value > 0) text += fmt::format(" {} have no value for something wanted.", count_text(c.without_value));
  if (by_kernel) {
    text += fmt::format(" By the closed form ({})", by);
    if (c.by_general_solver > 0)
      text += fmt::format(", and {} that it could not tell by the general solver", count_text(c.by_general_solver));
    text += "; what is shown was solved again by the general solver.";
  } else {
    text += fmt::format(" By the general solver alone, which takes longer: {}.", by);
  }
  if (!r.not_built.empty()) {
    std::vector<std::string> kinds;
    std::uint64_t all = 0;
    for (const auto& [code, candidates] : r.not_built) {
      kinds.push_back(fmt::format("{} {}", code, count_text(candidates)));
      all += candidates;
    }
    text += fmt::format(" The {} best were checked for whether they can be built: {} can't, and {} left out ({}).",
                        count_text(r.checked), count_text(all), all == 1 ? "is" : "are", listed(kinds));
  }
  if (c.left > 0) text += fmt::format(" {} were left for want of time: give more with --limit.", count_text(c.left));
  return text;
}

std::string tune_text(const Tuned& tuned, const TuneOptions& how, const TextStyle& style) {
  const Model& model = tuned.before.model;
  std::string text = wrapped(fmt::format("{}: {}{}", shown(model.name), first_sentence(tuned.result),
                                         tuned.result.complete ? "" : " (incomplete)"),
                             0) +
                     "\n\n";
  if (!tuned.result.found.empty()) text += results_text(model, tuned.aims, tuned.result.found, style) + "\n";
  text += wrapped(search_text(tuned.aims, tuned.result, tuned.by_kernel, tuned.by), 0) + "\n";
  if (!tuned.written.empty())
    text += wrapped(fmt::format("Result {} was written to {}.", how.pick, shown(tuned.written)), 0) + "\n";
  return text;
}

}  // namespace ridepitch
