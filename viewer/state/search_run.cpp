#include "state/search_run.hpp"

#include <algorithm>
#include <utility>

#include <fmt/format.h>

#include "model/tune.hpp"
#include "swap/compare.hpp"
#include "swap/rework.hpp"
#include "swap/search_words.hpp"
#include "tune/aims.hpp"
#include "tune/evaluate.hpp"
#include "tune/search.hpp"
#include "tune/space.hpp"

namespace ridepitch::view {
namespace {

constexpr std::size_t most_rows = 30;
constexpr double rework_limit_s = 10, tune_limit_s = 120;

std::string words_of(const Model& model, const Changes& changes) {
  std::string text;
  for (const Change& each : changes) text += (text.empty() ? "" : "; ") + builder_words(model, each);
  return text.empty() ? "as it is" : text;
}

SearchOptions options_for(SearchRun& run, double limit_s) {
  SearchOptions options;
  options.limit_s = limit_s;
  options.threads = std::max(1, static_cast<int>(std::thread::hardware_concurrency()) - 1);  // one is the window's
  options.stop = [&run] { return run.stop.load(); };
  options.top = static_cast<int>(most_rows);
  options.progress = [&run](const SearchProgress& at) {
    run.looked_at = at.done;
    run.of = at.of;
    if (run.wake) run.wake();
  };
  return options;
}

void sort_holding_first(std::vector<SearchRow>& rows) {
  std::stable_sort(rows.begin(), rows.end(), [](const SearchRow& a, const SearchRow& b) { return a.holds > b.holds; });
  if (rows.size() > most_rows) rows.resize(most_rows);
}

/// @param verb, verbs  of one that holds, and of several: "meets", "meet"
std::string counted_answer(const std::vector<SearchRow>& rows, std::string_view verb, std::string_view verbs,
                           const std::string& what, const SearchResult& search) {
  const auto holding = std::count_if(rows.begin(), rows.end(), [](const SearchRow& r) { return r.holds; });
  if (holding > 0)
    return fmt::format("{} found that {} {}; {}.", holding, holding == 1 ? verb : verbs, what, depth_words(search));
  return fmt::format("Nothing that {} {} {}: {}.", verb, what, saw_all(search) ? "exists among them" : "was found",
                     depth_words(search));
}

SearchReport rework_report(SearchRun& run) {
  const Model& model = run.base->model;
  const Solution& solution = run.base->solution;
  SearchReport report;
  const HoleSearch holes =
      search_holes(model, solution, {run.gone}, Keep{}, [&](const Evaluator& evaluator, auto accept) {
        SearchOptions options = options_for(run, rework_limit_s);
        options.accept = std::move(accept);
        return search(evaluator, options);
      });
  for (const Layout& each : holes.layouts)
    report.rows.push_back(
        {words_of(model, each.found.changes), each.comparison.verdict, each.comparison.holds, each.found.changes});
  sort_holding_first(report.rows);
  report.headline = holes.searched ? counted_answer(report.rows, "stands", "stand",
                                                    fmt::format("as before without {}", run.gone), holes.result)
                                   : fmt::format("No spring can stand in for {}.", run.gone);
  return report;
}

SearchReport tune_report(SearchRun& run) {
  const Model& model = run.base->model;
  SearchReport report;
  if (!model.tune || model.tune->vary.empty()) {
    report.headline = "The model does not say what may vary: add [tune] and a [[tune.vary]] to its file.";
    return report;
  }
  const Space space = make_space(model, *model.tune);
  const AimsOrProblem aims = make_aims(model, *model.tune, space.corners, model, run.base->solution);
  if (space.size == 0 || !aims.aims) {
    report.headline = aims.problems.empty() ? "Nothing is left to choose from." : aims.problems.front().text;
    return report;
  }
  const Evaluator evaluator = make_evaluator(space, *aims.aims, run.base->solution);
  const SearchResult found = search(evaluator, options_for(run, tune_limit_s));
  for (const Found& each : found.found) {
    SearchRow row{words_of(model, each.changes), changes_counted(each.changed), each.misses.empty(), each.changes};
    if (each.group > 1) row.verdict += fmt::format(", the best of {} that change the same", each.group);
    if (!each.misses.empty()) row.verdict += ", misses: " + misses_words(model, *aims.aims, each);
    if (const std::string fresh = new_findings_words(each.new_findings); !fresh.empty()) row.verdict += ", " + fresh;
    report.rows.push_back(std::move(row));
  }
  sort_holding_first(report.rows);
  report.headline = counted_answer(report.rows, "has", "have", "everything that is wanted", found);
  return report;
}

}  // namespace

SearchRun::~SearchRun() {
  stop = true;
  if (thread.joinable()) thread.join();
}

std::unique_ptr<SearchRun> start_search(SolvedPtr base, std::string gone, std::function<void()> wake) {
  auto run = std::make_unique<SearchRun>();
  run->base = std::move(base);
  run->gone = std::move(gone);
  run->wake = std::move(wake);
  run->thread = std::thread([r = run.get()] {
    SearchReport report = r->gone.empty() ? tune_report(*r) : rework_report(*r);
    if (r->stop) report.headline += " Ended before it was through.";
    report.done = true;
    {
      const std::lock_guard lock(r->mutex);
      r->report = std::move(report);
    }
    if (r->wake) r->wake();
  });
  return run;
}

SearchReport report_of(SearchRun& run) {
  const std::lock_guard lock(run.mutex);
  return run.report;
}

}  // namespace ridepitch::view
