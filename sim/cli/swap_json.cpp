#include "cli/swap_json.hpp"

#include <algorithm>
#include <nlohmann/json.hpp>

#include "cli/json_pieces.hpp"
#include "cli/nudged.hpp"
#include "swap/change_words.hpp"

namespace ridepitch {
namespace {

Json keep_json(const Keep& keep) {
  return {{"ride_height_mm", keep.ride_mm},
          {"pitch_deg", keep.pitch_deg},
          {"roll_deg", keep.roll_deg},
          {"wheel_rate_share", keep.rate_share},
          {"frequency_share", keep.frequency_share},
          {"bump_travel_least_share", keep.bump_share},
          {"reserve_least_share", keep.reserve_share}};
}

Json changes_json(const Model& model, const Changes& changes) {
  Json out = Json::array();
  for (const Change& change : changes) {
    out.push_back({{"change", change_words(model, change)}, {"corners", corners_changed(model, change)}});
  }
  return out;
}

Json difference_json(const Difference& difference) {
  const bool in_words = !difference.before_words.empty() || !difference.after_words.empty();
  return {{"where", difference.where},
          {"quantity", difference.quantity},
          {"before", in_words ? maybe(difference.before_words) : maybe(difference.before)},
          {"after", in_words ? maybe(difference.after_words) : maybe(difference.after)},
          {"tolerance", maybe(difference.tolerance)},
          {"least", maybe(difference.least)},
          {"most", maybe(difference.most)},
          {"within", difference.within}};
}

Json need_json(const SpringNeed& need) {
  return {{"wheel", need.wheel},
          {"spring", need.spring},
          {"part", maybe(need.part)},
          {"count", need.count},
          {"motion_ratio_before", need.motion_ratio_before},
          {"motion_ratio_needed", need.motion_ratio_needed},
          {"motion_ratio_after", maybe(need.motion_ratio_after)},
          {"force_n", need.force_n},
          {"length_mm", maybe(need.length_mm)},
          {"least_force_n", need.least_n},
          {"most_force_n", maybe(need.most_n)},
          {"bump_travel_mm", maybe(need.bump_travel_mm)}};
}

/// The greatest effect at any wheel.
double effect(const Nudge& nudge, const Step& step) {
  double greatest = 0;
  for (const Cell& cell : nudge.cells) {
    if (cell.spot.scope == Scope::wheel)
      greatest = std::max(greatest, effect_at(nudge, step, cell.spot.corner, cell.spot.wheel));
  }
  return greatest;
}

Json step_json(const Nudged& nudged, const Step& step, double effect) {
  Json changes = Json::array();
  for (std::size_t i = 0; i < step.values.size(); ++i) {
    const Cell& cell = nudged.nudge.cells[i];
    if (cell.now == step.values[i]) continue;
    changes.push_back({{"where", cell.spot.where},
                       {"quantity", cell.quantity->name},
                       {"before", maybe(cell.now)},
                       {"after", maybe(step.values[i])}});
  }
  const Model& model = nudged.solved.model;
  return {{"step", step.name},
          {"change", change_words(model, step.change)},
          {"linkage", model.linkages[static_cast<std::size_t>(step.linkage)].name},
          {"corners", corners_changed(model, step.change)},
          {"effect", maybe(effect)},
          {"states", step.states},
          {"error", step.why_not.empty() ? Json(nullptr) : Json(step.why_not)},
          {"changes", std::move(changes)}};
}

Json steering_json(const Nudged& nudged) {
  const Model& model = nudged.solved.model;
  Json all = Json::array();
  for (const SteeringNudge& nudge : nudged.steering) {
    Json now = Json::array(), steps = Json::array();
    for (std::size_t f = 0; f < nudge.figures.size(); ++f)
      now.push_back({{"where", figure_place(model, nudge.figures[f])},
                     {"quantity", nudge.figures[f].quantity},
                     {"value", maybe(nudge.now[f])}});
    for (const Step& step : nudge.steps) {
      Json changes = Json::array();
      for (std::size_t f = 0; f < step.values.size(); ++f) {
        if (step.values[f] == nudge.now[f]) continue;
        changes.push_back({{"where", figure_place(model, nudge.figures[f])},
                           {"quantity", nudge.figures[f].quantity},
                           {"before", maybe(nudge.now[f])},
                           {"after", maybe(step.values[f])}});
      }
      steps.push_back({{"step", step.name},
                       {"change", change_words(model, step.change)},
                       {"error", maybe(step.why_not)},
                       {"changes", std::move(changes)}});
    }
    all.push_back({{"corner", model.corners[static_cast<std::size_t>(nudge.corner)].name},
                   {"step_modules", nudge.step_mm / model.module_mm},
                   {"now", std::move(now)},
                   {"steps", std::move(steps)}});
  }
  return all;
}

Json play_json(const Nudged& nudged) {
  if (!nudged.play) return nullptr;
  Json spreads = Json::array();
  for (const Spread& each : nudged.play->spreads) {
    spreads.push_back({{"where", each.spot.where},
                       {"quantity", each.quantity->name},
                       {"value", each.now},
                       {"likely", each.likely},
                       {"worst", each.worst}});
  }
  return {{"play_mm", nudged.play_mm},
          {"joints", nudged.play->joints},
          {"not_known", nudged.play->not_known},
          {"spreads", std::move(spreads)}};
}

}  // namespace

std::string swap_json(const Swapped& swapped) {
  Json differences = Json::array(), needs = Json::array();
  for (const Difference& each : swapped.comparison.differences) differences.push_back(difference_json(each));
  for (const SpringNeed& each : swapped.comparison.needs) needs.push_back(need_json(each));
  return json_document({{"holds", swapped.comparison.holds},
                        {"verdict", swapped.comparison.verdict},
                        {"keep", keep_json(swapped.keep)},
                        {"changes", changes_json(swapped.before.model, swapped.changes)},
                        {"before", solved_json(swapped.before)},
                        {"after", swapped.after ? solved_json(*swapped.after) : Json(nullptr)},
                        {"errors", problems_json(swapped.why_not)},
                        {"differences", std::move(differences)},
                        {"needs", std::move(needs)},
                        {"written", maybe(swapped.written)}});
}

std::string nudge_json(const Nudged& nudged) {
  Json now = Json::array(), steps = Json::array();
  for (const Cell& cell : nudged.nudge.cells) {
    if (cell.now) now.push_back({{"where", cell.spot.where}, {"quantity", cell.quantity->name}, {"value", *cell.now}});
  }
  std::vector<std::pair<double, const Step*>> sorted;
  for (const Step& step : nudged.nudge.steps) sorted.emplace_back(effect(nudged.nudge, step), &step);
  std::stable_sort(sorted.begin(), sorted.end(), [](const auto& a, const auto& b) {
    const bool a_stands = a.second->why_not.empty(), b_stands = b.second->why_not.empty();
    return a_stands != b_stands ? a_stands : a.first > b.first;
  });
  for (const auto& [effect, step] : sorted) steps.push_back(step_json(nudged, *step, effect));
  return json_document({{"model", nudged.solved.model.name},
                        {"step_modules", nudged.nudge.step_mm / nudged.solved.model.module_mm},
                        {"now", std::move(now)},
                        {"steps", std::move(steps)},
                        {"steering", steering_json(nudged)},
                        {"play", play_json(nudged)}});
}

}  // namespace ridepitch
