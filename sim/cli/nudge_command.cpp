#include <fmt/format.h>

#include <algorithm>
#include <functional>

#include "cli/commands.hpp"
#include "cli/progress.hpp"
#include "cli/swapped.hpp"
#include "model/index.hpp"
#include "model/nearest_name.hpp"
#include "ride/solve.hpp"

namespace ridepitch {
namespace {

constexpr double usual_limit_s = 60;

Problem no_such_corner(const Model& model, const std::string& name) {
  std::vector<std::string> known;
  for (const Corner& corner : model.corners) known.push_back(corner.name);
  const std::string nearest = nearest_name(name, known);
  return {.code = "unknown-name",
          .text = fmt::format("--corner names '{}', but the model has no corner of that name", shown(name)),
          .hint = nearest.empty() ? "" : fmt::format("did you mean '{}'?", shown(nearest))};
}

}  // namespace

Outcome run_nudge(const Options& options, const Ink& ink) {
  SolvedModels models = solve_models(options.models, SolveOptions{});
  if (!models.problems.empty()) return {"", std::move(models.problems)};
  if (options.nudge.play_mm) {
    Solved& only = models.solved.front();
    only.model.spread.pin_play_mm = {*options.nudge.play_mm, true};
    if (SolveResult again = solve(only.model); again.solution) only.solution = std::move(*again.solution);
  }
  Nudged nudged{std::move(models.solved.front()), {}, {}, {}};
  const Model& model = nudged.solved.model;
  std::vector<int> linkages = linkages_on_ground(model);
  const std::string& asked = options.nudge.corner;
  const int only = index_of(model.corners, asked);
  if (!asked.empty() && only < 0) return {"", {no_such_corner(model, asked)}};
  if (asked.empty()) {
    for (const int linkage : linkages) {
      const auto first = std::find_if(model.corners.begin(), model.corners.end(),
                                      [&](const Corner& each) { return each.linkage == linkage; });
      nudged.corners.push_back(static_cast<int>(first - model.corners.begin()));
    }
  } else {
    linkages = {at(model.corners, only).linkage};
    nudged.corners = {only};
    if (at(model.linkages, linkages[0]).plane == Plane::top) {
      linkages.clear();
      nudged.corners.clear();
    }
  }
  const TimeLimit limit(options.tune.limit, usual_limit_s);
  const auto stop = [&] { return limit.over(); };
  {
    Progress progress("trying steps (Ctrl-C: those so far)");
    nudged.nudge = nudge(model, nudged.solved.solution, linkages, std::ref(progress), stop);
    nudged.steering = nudge_steering(model, nudged.solved.solution, std::ref(progress), stop);
    std::erase_if(nudged.steering, [&](const Nudge& each) { return only >= 0 && each.corner != only; });
  }
  return {options.json ? nudge_json(nudged) : nudge_text(nudged, {ink, options.terse}), {}};
}

}  // namespace ridepitch
