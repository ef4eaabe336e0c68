#include <fmt/format.h>

#include "cli/commands.hpp"
#include "cli/findings_text.hpp"
#include "cli/problem_text.hpp"
#include "cli/tally.hpp"
#include "ride/solve.hpp"
#include "stack/holes.hpp"

namespace ridepitch {
namespace {

/// What there is of a model, where two counts of a linkage's freedom differ, and what the reader noticed.
std::string checked_text(const Solved& checked, const Ink& ink) {
  const std::vector<MergedFinding> findings = merged_findings(checked.solution.findings);
  const std::string count = findings.empty() ? "nothing wrong" : findings_count(findings, 0);
  std::string text =
      wrapped(fmt::format("{}: {} found in {}.", shown(checked.model.name), count, tally_text(checked.model)), 0) +
      "\n";
  if (!findings.empty()) text += "\n" + findings_text(findings, {}, ink) + "\n";
  for (const Problem& note : checked.notes) text += problem_text(note, "note", ink);
  for (const CornerResult& corner : checked.solution.corners)
    if (!corner.mobility_note.empty())
      text += wrapped(fmt::format("{}: note: {}", shown(corner.name), shown(corner.mobility_note)), 0) + "\n";
  return text;
}

}  // namespace

Outcome run_check(const Options& options, const Ink& ink) {
  // Only whether it can be solved matters, not how finely.
  SolvedModels models = solve_models(options.models, only_the_stance);
  for (Solved& checked : models.solved) checked.solution.findings = find_missing_holes(checked.model);
  std::string text;
  for (const Solved& checked : models.solved) text += checked_text(checked, ink);
  return {options.json ? check_json(models.solved) : text, std::move(models.problems)};
}

}  // namespace ridepitch
