#include "cli/swapped.hpp"

#include <algorithm>

#include "cli/json_pieces.hpp"
#include "cli/shopping_text.hpp"
#include "model/index.hpp"
#include "swap/change_words.hpp"

namespace ridepitch {
namespace {

Json keep_json(const Keep& keep) {
  Json out = Json::object();
  for (const KeepWord& word : keep_table()) out[word.json_key] = keep.*word.value;
  return out;
}

Json changed_json(const Model& model, const Change& change) {
  return {{"change", change_words(model, change)}, {"corners", corners_changed(model, change)}};
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
          {"expected_on_ruler_mm", maybe(difference.expected_on_ruler_mm)},
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
    if (cell.figure.wheel >= 0)
      greatest = std::max(greatest, effect_at(nudge, step, cell.figure.corner, cell.figure.wheel));
  }
  return greatest;
}

Json place_and_quantity(const std::string& where, const Figure& figure) {
  return {{"where", where}, {"quantity", figure.what->name}};
}

/// The numbers of a model as it stands.
Json now_json(const Nudge& nudge, bool with_missing) {
  Json out = Json::array();
  for (const Cell& cell : nudge.cells) {
    if (!cell.now && !with_missing) continue;
    out.push_back(place_and_quantity(cell.where, cell.figure));
    out.back()["value"] = maybe(cell.now);
  }
  return out;
}

/// Those that a step changes.
Json changes_json(const Nudge& nudge, const Step& step) {
  Json out = Json::array();
  for (std::size_t i = 0; i < step.values.size(); ++i) {
    const Cell& cell = nudge.cells[i];
    if (cell.now == step.values[i]) continue;
    out.push_back(place_and_quantity(cell.where, cell.figure));
    out.back().update({{"before", maybe(cell.now)}, {"after", maybe(step.values[i])}});
  }
  return out;
}

Json step_json(const Nudged& nudged, const Step& step, double effect) {
  const Model& model = nudged.solved.model;
  return {{"step", step.name},
          {"change", change_words(model, step.change)},
          {"linkage", at(model.linkages, step.linkage).name},
          {"corners", corners_changed(model, step.change)},
          {"effect", maybe(effect)},
          {"states", step.states},
          {"error", maybe(step.why_not)},
          {"changes", changes_json(nudged.nudge, step)}};
}

Json steering_json(const Nudged& nudged) {
  const Model& model = nudged.solved.model;
  return list_json(nudged.steering, [&](const Nudge& nudge) -> Json {
    Json steps = list_json(nudge.steps, [&](const Step& step) -> Json {
      return {{"step", step.name},
              {"change", change_words(model, step.change)},
              {"error", maybe(step.why_not)},
              {"changes", changes_json(nudge, step)}};
    });
    return {{"corner", at(model.corners, nudge.corner).name},
            {"step_modules", nudge.step_mm / model.module_mm},
            {"now", now_json(nudge, true)},
            {"steps", std::move(steps)}};
  });
}

/// How much lower a built one stands, at every corner.
Json play_json(const Solved& solved) {
  if (solved.model.spread.pin_play_mm.value == 0) return nullptr;
  Json heights = Json::object();
  for (const CornerResult& corner : solved.solution.corners) heights[corner.name] = maybe(corner.as_built_height_mm);
  return {{"play_mm", solved.model.spread.pin_play_mm.value}, {"as_built_height_mm", std::move(heights)}};
}

}  // namespace

Json chance_json(const Chance& chance) {
  return {{"share", chance.share}, {"within", chance.within}, {"vehicles", chance.vehicles}};
}

std::string swap_json(const Swapped& swapped) {
  const Comparison& comparison = swapped.comparison;
  const Model& before = swapped.before.model;
  return json_document(
      {{"holds", comparison.holds},
       {"verdict", comparison.verdict},
       {"keep", keep_json(swapped.keep)},
       {"chance", maybe(swapped.chance, chance_json)},
       {"changes", list_json(swapped.changes, [&](const Change& each) { return changed_json(before, each); })},
       {"shopping",
        maybe(swapped.after, [&](const Solved& after) { return shopping_json(shopping(before, after.model)); })},
       {"before", solved_json(swapped.before)},
       {"after", swapped.after ? solved_json(*swapped.after) : Json(nullptr)},
       {"errors", problems_json(swapped.why_not)},
       {"differences", list_json(comparison.differences, difference_json)},
       {"needs", list_json(comparison.needs, need_json)},
       {"written", maybe(swapped.written)}});
}

std::string nudge_json(const Nudged& nudged) {
  Json steps = Json::array();
  std::vector<std::pair<double, const Step*>> sorted;
  for (const Step& step : nudged.nudge.steps) sorted.emplace_back(effect(nudged.nudge, step), &step);
  std::stable_sort(sorted.begin(), sorted.end(), [](const auto& a, const auto& b) {
    const bool a_stands = a.second->why_not.empty(), b_stands = b.second->why_not.empty();
    return a_stands != b_stands ? a_stands : a.first > b.first;
  });
  for (const auto& [effect, step] : sorted) steps.push_back(step_json(nudged, *step, effect));
  const auto [tried, all] = steps_tried(nudged);
  return json_document({{"model", nudged.solved.model.name},
                        {"candidates", all},
                        {"looked_at", tried},
                        {"complete", tried == all},
                        {"step_modules", nudged.nudge.step_mm / nudged.solved.model.module_mm},
                        {"now", now_json(nudged.nudge, false)},
                        {"steps", std::move(steps)},
                        {"steering", steering_json(nudged)},
                        {"play", play_json(nudged.solved)}});
}

}  // namespace ridepitch
