#include <fmt/format.h>

#include "cli/commands.hpp"
#include "cli/output.hpp"
#include "cli/problem_text.hpp"
#include "cli/swapped.hpp"
#include "model/edit.hpp"
#include "ride/solve.hpp"
#include "swap/change_words.hpp"

namespace ridepitch {
namespace {

SteerResult steered(const Model& model, const Solution& solution) {
  return is_steered(model) ? steer(model, solution, {.points = 2, .clearance = false}) : SteerResult{};
}

/// What differs between the first model and another one, a steering included.
Comparison compared(const Swapped& swapped, const Model& after, const Solution& solution) {
  const Solved& before = swapped.before;
  const SteerResult was = steered(before.model, before.solution), is = steered(after, solution);
  const auto worked_out = [](const SteerResult& result) { return result.steered ? &*result.steered : nullptr; };
  return compare({before.model, before.solution, worked_out(was)}, {after, solution, worked_out(is)}, swapped.keep,
                 is.problems.empty() ? "" : is.problems.front().text);
}

/// The second model, from its own file.
Outcome swap_with_file(const std::string& path, Swapped& swapped) {
  SolvedModels models = solve_models({path}, SolveOptions{});
  if (!models.problems.empty()) return {"", std::move(models.problems)};
  const Model& before = swapped.before.model;
  const Model& after = models.solved.front().model;
  if (before.bench != after.bench) {
    return {"",
            {{.code = "not-comparable",
              .text = fmt::format(
                  "'{}' is on the bench, where each linkage has its load, but '{}' is a vehicle on its wheels",
                  shown((before.bench ? before : after).name), shown((before.bench ? after : before).name)),
              .hint = "compare two models of one kind"}}};
  }
  add_further_findings(models.solved.front());
  swapped.comparison = compared(swapped, after, models.solved.front().solution);
  swapped.after = std::move(models.solved.front());
  return {};
}

/// The model changed as the options say.
Outcome swap_with_changes(const SwapOptions& how, bool overwrite, Swapped& swapped) {
  const Model& before = swapped.before.model;
  if (!how.write.empty())
    if (auto refused = refused_edit(how.write, before, {}, overwrite)) return {"", {std::move(*refused)}};
  ReadChanges read = read_changes(before, {how.springs, how.holes, how.rods, how.without});
  if (!read.problems.empty()) return {"", std::move(read.problems)};
  swapped.changes = std::move(read.changes);
  Model after = changed(before, swapped.changes);
  SolveResult result = solve(after);
  if (!result.solution) {
    // The text of the model is right; it is the changes that have no solution, and that is a verdict.
    swapped.why_not = std::move(result.problems);
    fill_in_lines(swapped.why_not, before);
    swapped.comparison = compare_unsolved(before, swapped.before.solution, after, swapped.why_not);
    return {};
  }
  swapped.after = Solved{std::move(after), std::move(*result.solution), {}};
  add_further_findings(*swapped.after);
  swapped.comparison = compared(swapped, swapped.after->model, swapped.after->solution);
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
  add_further_findings(swapped.before);
  Outcome outcome = options.models.size() > 1 ? swap_with_file(options.models[1], swapped)
                                              : swap_with_changes(options.swap, options.overwrite, swapped);
  if (!outcome.problems.empty()) return outcome;
  outcome.holds = swapped.comparison.holds;
  outcome.written = swapped.written;
  outcome.out = options.json ? swap_json(swapped) : swap_text(swapped, {ink, options.terse});
  return outcome;
}

}  // namespace ridepitch
