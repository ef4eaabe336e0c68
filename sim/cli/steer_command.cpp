#include <algorithm>
#include <iterator>

#include "cli/commands.hpp"
#include "cli/output.hpp"
#include "cli/problem_text.hpp"
#include "cli/steered_model.hpp"
#include "model/read.hpp"
#include "ride/solve.hpp"

namespace ridepitch {
namespace {

void move_to(std::vector<Problem>& all, std::vector<Problem>& more, const Model* model) {
  if (model) fill_in_lines(more, *model);
  all.insert(all.end(), std::make_move_iterator(more.begin()), std::make_move_iterator(more.end()));
}

/// A drawing of a steering alone has nothing that could stand.
bool has_sprung_wheels(const Model& model) {
  return std::any_of(model.corners.begin(), model.corners.end(), [&](const Corner& corner) {
    const Linkage& linkage = model.linkages[static_cast<std::size_t>(corner.linkage)];
    return linkage.plane != Plane::top && !linkage.wheels.empty();
  });
}

std::optional<SteeredModel> steer_file(const std::string& path, const SteerOptions& how,
                                       std::vector<Problem>& problems) {
  ReadModel read = read_model(path);
  if (!read.model) {
    move_to(problems, read.problems, nullptr);
    return std::nullopt;
  }
  SteeredModel out{{std::move(*read.model), {}, std::move(read.notes)}, {}};
  const Model& model = out.solved.model;
  if (has_sprung_wheels(model)) {
    SolveResult rest = solve(model, {.other_stances = false, .readings = false});
    if (!rest.solution) {
      move_to(problems, rest.problems, &model);
      return std::nullopt;
    }
    out.solved.solution = std::move(*rest.solution);
  }
  SteerResult result = steer(model, out.solved.solution, how);
  if (!result.steered) {
    move_to(problems, result.problems, &model);
    return std::nullopt;
  }
  out.steered = std::move(*result.steered);
  return out;
}

}  // namespace

Outcome run_steer(const Options& options, const Ink& ink) {
  Outcome outcome;
  std::vector<SteeredModel> models;
  for (const std::string& path : options.models)
    if (auto steered = steer_file(path, {.points = options.steer.points}, outcome.problems))
      models.push_back(std::move(*steered));
  if (!options.steer.curve.empty() && outcome.problems.empty()) {
    if (const std::optional<Problem> failed = write_file(options.steer.curve, steer_csv(models.front()))) {
      outcome.problems.push_back(*failed);
      return outcome;
    }
  }
  if (options.json) {
    if (outcome.problems.empty()) outcome.out = steer_json(models);
    return outcome;
  }
  for (const SteeredModel& model : models) {
    if (!outcome.out.empty()) outcome.out += "\n\n";
    outcome.out += steer_text(model, {ink, options.terse});
  }
  return outcome;
}

}  // namespace ridepitch
