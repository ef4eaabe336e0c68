#include "cli/commands.hpp"
#include "cli/output.hpp"
#include "cli/problem_text.hpp"
#include "cli/swapped.hpp"
#include "model/edit.hpp"
#include "ride/solve.hpp"
#include "steer/further_findings.hpp"
#include "swap/change_words.hpp"

namespace ridepitch {
namespace {

/// Looks at both models in full, and at what differs, a steering included.
void compare_in_full(Swapped& swapped, Solved after) {
  Solved& before = swapped.before;
  swapped.after = std::move(after);
  const SteerResult was = add_further_findings(before), is = add_further_findings(*swapped.after);
  swapped.comparison =
      compare(results_of(before.model, before.solution, was),
              results_of(swapped.after->model, swapped.after->solution, is), swapped.keep, why_not_steered(is));
}

/// The second model, from its own file.
Outcome swap_with_file(const std::string& path, Swapped& swapped) {
  SolvedModels models = solve_models({path}, SolveOptions{});
  if (!models.problems.empty()) return {"", std::move(models.problems)};
  if (auto problem = not_comparable(swapped.before.model, models.solved.front().model)) return {"", {*problem}};
  compare_in_full(swapped, std::move(models.solved.front()));
  return {};
}

/// The model changed as the options say.
Outcome swap_with_changes(const SwapOptions& how, bool overwrite, Swapped& swapped) {
  const Model& before = swapped.before.model;
  if (!how.write.empty())
    if (auto refused = refused_edit(how.write, before, {}, overwrite)) return {"", {std::move(*refused)}};
  ReadChanges read =
      read_changes(before, {how.springs, how.holes, how.rods, how.without, how.parts, how.tyres, how.heights});
  if (!read.problems.empty()) return {"", std::move(read.problems)};
  swapped.changes = std::move(read.changes);
  Model after = changed(before, swapped.changes);
  after.measured.clear();  // the ruler stood beside the model as it was
  SolveResult result = solve(after);
  if (!result.solution) {
    // The text of the model is right; it is the changes that have no solution, and that is a verdict.
    swapped.why_not = std::move(result.problems);
    fill_in_lines(swapped.why_not, before);
    add_further_findings(swapped.before);
    swapped.comparison = compare_unsolved(before, swapped.before.solution, after, swapped.why_not);
    return {};
  }
  compare_in_full(swapped, {std::move(after), std::move(*result.solution), {}});
  if (!how.write.empty()) {
    std::vector<Problem> problems = write_edited_copy(before, swapped.changes, how.write, overwrite);
    if (!problems.empty()) return {"", std::move(problems)};
    swapped.written = how.write;
  }
  return {};
}

}  // namespace

Outcome run_swap(const Options& options, const Ink& ink) {
  const ReadKeep keep = read_keep(options.swap.keep);
  if (keep.problem) return {"", {*keep.problem}};
  SolvedModels first = solve_models({options.models.front()}, SolveOptions{});
  if (!first.problems.empty()) return {"", std::move(first.problems)};

  Swapped swapped{std::move(first.solved.front()), {}, {}, {}, keep.keep, {}, {}};
  Outcome outcome = options.models.size() > 1 ? swap_with_file(options.models[1], swapped)
                                              : swap_with_changes(options.swap, options.overwrite, swapped);
  if (!outcome.problems.empty()) return outcome;
  if (swapped.after && (options.spread || swapped.before.model.spread.given || swapped.after->model.spread.given)) {
    const auto scattered = [](const Solved& of) {
      return Scattered{of.model, of.solution, sample_vehicles(of.model, of.solution)};
    };
    swapped.chance = chance_of_keeping(scattered(swapped.before), scattered(*swapped.after), swapped.keep);
  }
  outcome.holds = swapped.comparison.holds;
  outcome.written = swapped.written;
  outcome.out = options.json ? swap_json(swapped) : swap_text(swapped, {ink, options.terse});
  return outcome;
}

}  // namespace ridepitch
