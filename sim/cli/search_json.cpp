#include "cli/searched.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "cli/json_pieces.hpp"
#include "cli/shopping_text.hpp"
#include "model/index.hpp"
#include "swap/change_words.hpp"

namespace ridepitch {
namespace {

Json change_json(const Model& model, const Change& change) {
  if (const auto* move = std::get_if<MoveHole>(&change))
    return Json::array({move->to_B_mm.x() / model.module_mm, move->to_B_mm.y() / model.module_mm});
  if (const auto* rod = std::get_if<SetLength>(&change)) return rod->length_mm / model.module_mm;
  if (const auto* part = std::get_if<SetPart>(&change)) return {{"part", part->part}};
  if (const auto* tyre = std::get_if<SetTyre>(&change)) return {{"part", tyre->part}};
  if (const auto* height = std::get_if<SetRodHeight>(&change))
    return Json::array({height->height_mm[0] / model.module_mm, height->height_mm[1] / model.module_mm});
  const auto& spring = std::get<SetSpring>(change);
  const std::string& own = at(at(model.linkages, spring.linkage).springs, spring.spring).part;
  return {{"part", spring.part.empty() ? own : spring.part}, {"count", spring.count}};
}

/// How far each figure of a want is off, or of a need beyond its limits: the farther, the worse.
std::vector<double> off(const Aim& want, const std::vector<double>& values) {
  std::vector<double> out;
  for (std::size_t i = 0; i < want.figures.size(); ++i)
    out.push_back(std::abs(at(values, want.figures[i]) - want.target[i]));
  return out;
}

std::vector<double> off(const Constraint& need, const std::vector<double>& values) {
  constexpr double no_bound = std::numeric_limits<double>::infinity();
  std::vector<double> out;
  for (const int k : need.figures)
    out.push_back(
        std::max(need.least.value_or(-no_bound) - at(values, k), at(values, k) - need.most.value_or(no_bound)));
  return out;
}

/// "quantity of PLACE" for each figure; and by the quantity's name alone the one figure that it is asked of, or, where one
/// want or need asks it of several, the worst of those.
Json quantities_json(const Tuned& tuned, const Found& found) {
  Json out = Json::object();
  const std::vector<Figure>& figures = tuned.aims.figures;
  const auto how_many = [&](const Quantity* what) {
    return std::count_if(figures.begin(), figures.end(), [&](const Figure& f) { return f.what == what; });
  };
  const auto add_worst = [&](const auto& asked) {
    const std::string name(asked.what->name);
    if (count(asked.figures) != how_many(asked.what) || out.contains(name)) return;
    const std::vector<double> by = off(asked, found.values);
    const auto worst = std::max_element(by.begin(), by.end()) - by.begin();
    out[name] = maybe(at(found.values, asked.figures[static_cast<std::size_t>(worst)]));
  };
  for (const Aim& want : tuned.aims.wants) add_worst(want);
  for (const Constraint& need : tuned.aims.needs) add_worst(need);
  for (std::size_t i = 0; i < figures.size(); ++i)
    if (how_many(figures[i].what) > 1)
      out[fmt::format("{} of {}", figures[i].what->name, figure_place(tuned.before.model, figures[i]))] =
          maybe(found.values[i]);
  return out;
}

Json misses_json(const Model& model, const Aims& aims, const Found& found) {
  return list_json(found.misses, [&](const Miss& miss) -> Json {
    const Figure& figure = at(aims.figures, miss.figure);
    return {{"quantity", figure.what->name}, {"of", figure_place(model, figure)}, {"by", maybe(miss.by)}};
  });
}

/// How far the search got.
Json depths_json(const SearchResult& r) {
  return list_json(r.depths, [](const Depth& depth) -> Json {
    return {{"changes", depth.changes}, {"candidates", depth.candidates}, {"hold", depth.hold}};
  });
}

Json found_json(const Tuned& tuned, const Found& found) {
  Json changes = Json::object();
  for (const Change& change : found.changes)
    changes[changed_thing(tuned.before.model, change)] = change_json(tuned.before.model, change);
  return {{"score", found.score},
          {"changes", std::move(changes)},
          {"quantities", quantities_json(tuned, found)},
          {"changed", found.changed},
          {"price", maybe(found.price)},
          {"group", found.group},
          {"unbeaten", found.unbeaten},
          {"holds", found.misses.empty()},
          {"misses", misses_json(tuned.before.model, tuned.aims, found)},
          {"new_findings", findings_json(found.new_findings)}};
}

Json steps_json(const Model& model, const Changes& changes) {
  return list_json(changes, [&](const Change& change) -> Json {
    return {{"thing", changed_thing(model, change)},
            {"change", change_words(model, change)},
            {"do", builder_words(model, change)}};
  });
}

/// The verdict of a comparison, and more.
Json verdict_json(const Comparison& comparison, const Json& more) {
  Json out = {{"holds", comparison.holds}, {"verdict", comparison.verdict}, {"worst_share", maybe(comparison.worst)}};
  out.update(more);
  return out;
}

}  // namespace

std::string tune_json(const Tuned& tuned) {
  const SearchResult& r = tuned.result;
  Json ruled_out = Json::array();
  for (std::size_t i = 0; i < tuned.aims.needs.size(); ++i)
    ruled_out.push_back({{"quantity", tuned.aims.needs[i].what->name},
                         {"of", tuned.aims.needs[i].of},
                         {"candidates", r.counts.ruled_out[i]}});
  return json_document({{"candidates", r.candidates},
                        {"looked_at", r.counts.looked_at},
                        {"skipped", r.counts.skipped},
                        {"assembled", r.counts.assembled},
                        {"passing", r.counts.passing},
                        {"hold", r.counts.hold},
                        {"depths", depths_json(r)},
                        {"why_sampled", maybe(r.why_sampled)},
                        {"by_general_solver", r.counts.by_general_solver},
                        {"left", r.counts.left},
                        {"ruled_out", std::move(ruled_out)},
                        {"checked", r.checked},
                        {"not_built", r.not_built},
                        {"exhaustive", r.exhaustive},
                        {"complete", r.complete},
                        {"results", list_json(r.found, [&](const Found& found) { return found_json(tuned, found); })},
                        {"written", maybe(tuned.written)}});
}

std::string rework_json(const Reworked& r) {
  const Model& model = r.before.model;
  std::vector<StandIn> tried = r.alone;
  std::erase_if(tried, [](const StandIn& each) { return !each.tried; });
  Json alone = list_json(tried, [&](const StandIn& each) {
    return verdict_json(each.comparison, {{"part", each.part},
                                          {"count", each.count},
                                          {"price_more", model.has_prices ? maybe(each.price_more) : Json(nullptr)},
                                          {"why_not", maybe(each.why_not)}});
  });
  Json layouts = list_json(r.holes.layouts, [&](const Layout& each) {
    return verdict_json(each.comparison, {{"score", each.found.score},
                                          {"changes", steps_json(model, each.found.changes)},
                                          {"changed", each.found.changed},
                                          {"chance", each.chance ? chance_json(*each.chance) : Json(nullptr)},
                                          {"misses", misses_json(model, r.holes.aims, each.found)},
                                          {"new_findings", findings_json(each.found.new_findings)},
                                          {"price", maybe(each.found.price)},
                                          {"group", each.found.group},
                                          {"unbeaten", each.found.unbeaten}});
  });
  return json_document({{"holds", !r.choices().empty()},
                        {"gone", r.gone},
                        {"in_its_place", std::move(alone)},
                        {"searched", r.holes.searched},
                        {"candidates", r.holes.result.candidates},
                        {"looked_at", r.holes.result.counts.looked_at},
                        {"exhaustive", r.holes.result.exhaustive},
                        {"complete", r.holes.result.complete},
                        {"hold", r.holes.result.counts.hold},
                        {"depths", depths_json(r.holes.result)},
                        {"why_sampled", maybe(r.holes.result.why_sampled)},
                        {"checked", r.holes.result.checked},
                        {"not_built", r.holes.result.not_built},
                        {"layouts", std::move(layouts)},
                        {"do", steps_json(model, r.picked_changes)},
                        {"shopping", r.picked ? shopping_json(shopping(model, r.picked->model)) : Json(nullptr)},
                        {"before", solved_json(r.before)},
                        {"after", r.picked ? solved_json(*r.picked) : Json(nullptr)},
                        {"written", maybe(r.written)}});
}

}  // namespace ridepitch
