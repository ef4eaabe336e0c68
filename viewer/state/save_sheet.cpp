#include "state/save_sheet.hpp"

#include <filesystem>

#include "sheet/ink.hpp"
#include "swap/compare.hpp"

namespace ridepitch::view {
namespace {

Results results_of(const Solved& solved) {
  return {solved.model, solved.solution, solved.steered ? &*solved.steered : nullptr};
}

Problem nothing_stands() {
  Problem problem;
  problem.code = "no-solution";
  problem.text = "what is tried has no solution, so there is no sheet of it";
  problem.hint = "undo, or mend what is told beside the drawing";
  return problem;
}

}  // namespace

std::vector<Problem> save_sheet(const Document& document, const std::string& path, const std::string& date) {
  if (!document.shown || !document.why_not.empty()) return {nothing_stands()};
  const Solved& now = *document.shown;
  const std::string file = std::filesystem::path(document.base().path).filename().string();
  const SheetFacts facts{"", file + (unsaved(document) && !file.empty() ? ", with changes that are not saved" : ""),
                         date};
  const SolvedPtr& before = document.step().before;
  const bool compared = before && before != document.shown && before->model.bench == now.model.bench;
  Sheet sheet;
  if (compared) {
    const Keep keep;
    sheet = make_sheet(results_of(*before), results_of(now),
                       compare(before->model, before->solution, now.model, now.solution, keep), keep, facts);
  } else {
    sheet = make_sheet(results_of(now), facts);
  }
  if (auto problem = write_sheet(path, sheet)) return {*problem};
  return {};
}

}  // namespace ridepitch::view
