#include "cli/commands.hpp"
#include "cli/curves_csv.hpp"
#include "cli/output.hpp"
#include "cli/solve_text.hpp"
#include "ride/solve.hpp"

namespace ridepitch {

Outcome run_solve(const Options& options, const Ink& ink) {
  SolvedModels models = solve_models(options.models, {.ranges = options.spread, .floor = options.floor});
  for (Solved& solved : models.solved) add_further_findings(solved);
  if (!options.curves.empty() && models.problems.empty()) {
    const Solved& only = models.solved.front();
    if (auto failed = write_output(options.curves, curves_csv(only.solution), only.model.files, options.overwrite))
      return {"", {*failed}};
  }
  std::vector<std::string> texts;
  for (const Solved& solved : models.solved) texts.push_back(solve_text(solved, {ink, options.terse, options.all}));
  return {options.json ? solve_json(models.solved) : joined(texts, "\n\n"), std::move(models.problems), true,
          options.curves};
}

}  // namespace ridepitch
