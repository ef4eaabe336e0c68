#include "cli/tune_json.hpp"

#include <nlohmann/json.hpp>

#include "cli/json_pieces.hpp"

namespace ridepitch {
namespace {

Json change_json(const Model& model, const Change& change) {
  if (const auto* move = std::get_if<MoveHole>(&change))
    return Json::array({move->to_B_mm.x() / model.module_mm, move->to_B_mm.y() / model.module_mm});
  if (const auto* rod = std::get_if<SetLength>(&change)) return rod->length_mm / model.module_mm;
  const auto& spring = std::get<SetSpring>(change);
  const std::string& own =
      model.linkages[static_cast<std::size_t>(spring.linkage)].springs[static_cast<std::size_t>(spring.spring)].part;
  return {{"part", spring.part.empty() ? own : spring.part}, {"count", spring.count}};
}

/// By the name of the quantity where it is asked of one thing only, else "quantity of THING".
Json quantities_json(const Tuned& tuned, const Found& found) {
  Json out = Json::object();
  const auto& figures = tuned.aims.figures;
  for (std::size_t i = 0; i < figures.size(); ++i) {
    const auto same = std::count_if(figures.begin(), figures.end(),
                                    [&](const Figure& f) { return f.quantity == figures[i].quantity; });
    std::string name = figures[i].quantity;
    if (same > 1) name += " of " + figure_place(tuned.before.model, figures[i]);
    out[name] = maybe(found.values[i]);
  }
  return out;
}

Json found_json(const Tuned& tuned, const Found& found) {
  Json changes = Json::object();
  for (const Change& change : found.changes)
    changes[changed_thing(tuned.before.model, change)] = change_json(tuned.before.model, change);
  return {{"score", found.score},      {"changes", std::move(changes)}, {"quantities", quantities_json(tuned, found)},
          {"changed", found.changed},  {"price", maybe(found.price)},   {"group", found.group},
          {"unbeaten", found.unbeaten}};
}

}  // namespace

std::string tune_json(const Tuned& tuned) {
  const SearchResult& r = tuned.result;
  Json results = Json::array(), ruled_out = Json::array();
  for (const Found& found : r.found) results.push_back(found_json(tuned, found));
  for (std::size_t i = 0; i < tuned.aims.needs.size(); ++i)
    ruled_out.push_back({{"quantity", tuned.aims.needs[i].quantity},
                         {"of", tuned.aims.needs[i].of},
                         {"candidates", r.counts.ruled_out[i]}});
  return json_document({{"candidates", r.candidates},
                        {"looked_at", r.counts.looked_at},
                        {"skipped", r.counts.skipped},
                        {"assembled", r.counts.assembled},
                        {"passing", r.counts.passing},
                        {"by_general_solver", r.counts.by_general_solver},
                        {"left", r.counts.left},
                        {"ruled_out", std::move(ruled_out)},
                        {"exhaustive", r.exhaustive},
                        {"complete", r.complete},
                        {"results", std::move(results)},
                        {"written", maybe(tuned.written)}});
}

}  // namespace ridepitch
