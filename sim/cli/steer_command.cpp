#include "cli/commands.hpp"
#include "cli/output.hpp"
#include "cli/steered_model.hpp"
#include "ride/solve.hpp"

namespace ridepitch {

Outcome run_steer(const Options& options, const Ink& ink) {
  SolvedModels models = solve_models(options.models, {.other_stances = false, .readings = false}, true);
  std::vector<SteeredModel> steered;
  for (Solved& solved : models.solved) {
    SteerResult result = steer(solved.model, solved.solution, {.points = options.steer.points});
    if (result.steered) {
      steered.push_back({std::move(solved), std::move(*result.steered)});
    } else {
      add_problems(models.problems, std::move(result.problems), solved.model);
    }
  }
  const std::string& table = options.steer.curve;
  if (!table.empty() && models.problems.empty()) {
    const SteeredModel& only = steered.front();
    if (auto failed = write_output(table, steer_csv(only), only.solved.model.files, options.overwrite))
      return {"", {*failed}};
  }
  std::vector<std::string> texts;
  for (const SteeredModel& model : steered) texts.push_back(steer_text(model, {ink, options.terse}));
  return {options.json ? steer_json(steered) : joined(texts, "\n\n"), std::move(models.problems), true, table};
}

}  // namespace ridepitch
