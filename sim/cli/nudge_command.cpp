#include <fmt/format.h>

#include <algorithm>
#include <functional>

#include "cli/commands.hpp"
#include "cli/nudged.hpp"
#include "cli/progress.hpp"
#include "model/nearest_name.hpp"
#include "ride/solve.hpp"

namespace ridepitch {
namespace {

/// The corner of a name.
std::optional<Problem> find_corner(const Model& model, const std::string& name, std::size_t& corner) {
  Problem problem;
  std::vector<std::string> known;
  for (std::size_t c = 0; c < model.corners.size(); ++c) {
    known.push_back(model.corners[c].name);
    if (model.corners[c].name != name) continue;
    corner = c;
    return std::nullopt;
  }
  problem.code = "unknown-name";
  problem.text = fmt::format("--corner names '{}', but the model has no corner of that name", shown(name));
  const std::string nearest = nearest_name(name, known);
  if (!nearest.empty()) problem.hint = fmt::format("did you mean '{}'?", shown(nearest));
  return problem;
}

bool steers(const Model& model, std::size_t corner) {
  return model.linkages[static_cast<std::size_t>(model.corners[corner].linkage)].plane == Plane::top;
}

}  // namespace

Outcome run_nudge(const Options& options, const Ink& ink) {
  SolvedModels models = solve_models(options.models, SolveOptions{});
  if (!models.problems.empty()) return {"", std::move(models.problems)};
  Nudged nudged{std::move(models.solved.front()), {}, {}, {}, options.nudge.play_mm, {}};
  const Model& model = nudged.solved.model;
  std::vector<int> linkages = linkages_on_ground(model);
  if (!options.nudge.corner.empty()) {
    std::size_t corner = 0;
    if (const auto problem = find_corner(model, options.nudge.corner, corner)) return {"", {*problem}};
    linkages.clear();
    if (!steers(model, corner)) {
      linkages = {model.corners[corner].linkage};
      nudged.corners = {corner};
    }
  } else {
    for (const int linkage : linkages) {
      const auto first = std::find_if(model.corners.begin(), model.corners.end(),
                                      [&](const Corner& each) { return each.linkage == linkage; });
      nudged.corners.push_back(static_cast<std::size_t>(first - model.corners.begin()));
    }
  }
  {
    Progress progress("trying steps");
    nudged.nudge = nudge(model, nudged.solved.solution, linkages, std::ref(progress));
    nudged.steering = nudge_steering(model, nudged.solved.solution);
    std::erase_if(nudged.steering, [&](const SteeringNudge& each) {
      return !options.nudge.corner.empty() &&
             model.corners[static_cast<std::size_t>(each.corner)].name != options.nudge.corner;
    });
  }
  // Pins of a linkage that carries nothing move no wheel up or down.
  if (nudged.play_mm > 0 && (options.nudge.corner.empty() || !nudged.corners.empty())) {
    Progress progress("moving pins");
    nudged.play = pin_play(model, nudged.solved.solution, nudged.play_mm, std::ref(progress));
  }
  return {options.json ? nudge_json(nudged) : nudge_text(nudged, {ink, options.terse}), {}};
}

}  // namespace ridepitch
