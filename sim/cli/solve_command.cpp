#include "cli/commands.hpp"
#include "cli/curves_csv.hpp"
#include "cli/output.hpp"
#include "cli/solve_text.hpp"
#include "ride/solve.hpp"

namespace ridepitch {

Outcome run_solve(const Options& options, const Ink& ink) {
  SolvedModels models = solve_models(options.models, {.floor = options.floor});
  Outcome outcome{"", std::move(models.problems)};
  if (!options.curves.empty() && outcome.problems.empty()) {
    if (const std::optional<Problem> failed = write_file(options.curves, curves_csv(models.solved.front().solution))) {
      outcome.problems.push_back(*failed);
      return outcome;
    }
  }
  if (options.json) {
    if (outcome.problems.empty()) outcome.out = solve_json(models.solved);
    return outcome;
  }
  for (const Solved& solved : models.solved) {
    if (!outcome.out.empty()) outcome.out += "\n\n";
    outcome.out += solve_text(solved, {ink, options.terse});
  }
  return outcome;
}

}  // namespace ridepitch
