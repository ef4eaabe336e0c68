#include "state/save_sheet.hpp"

#include <filesystem>

#include "sheet/ink.hpp"
#include "swap/compare.hpp"

namespace ridepitch::view {
namespace {

Results results_of(const Solved& solved) {
  return {solved.model, solved.solution, solved.steered ? &*solved.steered : nullptr};
}

}  // namespace

std::vector<Problem> save_sheet(const Document& document, const std::string& path, const std::string& date) {
  if (!document.shown || !document.why_not.empty())
    return {{.code = "no-solution",
             .text = "what is tried has no solution, so there is no sheet of it",
             .hint = "undo, or mend what is told beside the drawing"}};
  const Solved& now = *document.shown;
  std::string file = std::filesystem::path(document.base().path).filename().string();
  if (unsaved(document) && !file.empty()) file += ", with changes that are not saved";
  const SheetFacts facts{"", file, date};
  const SolvedPtr& before = document.step().before;
  const bool compared = before && before != document.shown && before->model.bench == now.model.bench;
  const auto difference = [&] { return compare(before->model, before->solution, now.model, now.solution); };
  const Sheet sheet = compared ? make_sheet(results_of(*before), results_of(now), difference(), {}, facts)
                               : make_sheet(results_of(now), facts);
  if (auto problem = write_sheet(path, sheet)) return {*problem};
  return {};
}

}  // namespace ridepitch::view
