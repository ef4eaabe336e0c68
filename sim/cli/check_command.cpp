#include <fmt/format.h>

#include "cli/commands.hpp"
#include "cli/problem_text.hpp"
#include "cli/tally.hpp"
#include "ride/solve.hpp"

namespace ridepitch {
namespace {

/// Where two counts of a linkage's freedom differ, and what the reader noticed.
std::string notes_text(const Solved& checked, const Ink& ink) {
  std::string text;
  for (const Problem& note : checked.notes) text += problem_text(note, "note", ink);
  for (const CornerResult& corner : checked.solution.corners) {
    if (corner.mobility_note.empty()) continue;
    const std::string lead = shown(corner.name) + ": note: ";
    text += wrapped(lead + shown(corner.mobility_note), 0) + "\n";
  }
  return text;
}

}  // namespace

Outcome run_check(const Options& options, const Ink& ink) {
  // Only whether it can be solved matters, not how finely.
  SolvedModels models = solve_models(options.models, {.curve_points = 2, .other_stances = false, .readings = false});
  Outcome outcome{"", std::move(models.problems)};
  if (options.json) {
    if (outcome.problems.empty()) outcome.out = check_json(models.solved);
    return outcome;
  }
  for (const Solved& checked : models.solved) {
    outcome.out +=
        wrapped(fmt::format("{}: nothing wrong found in {}.", shown(checked.model.name), tally_text(checked.model)),
                0) +
        "\n" + notes_text(checked, ink);
  }
  return outcome;
}

}  // namespace ridepitch
