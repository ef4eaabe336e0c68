#include "cli/tune_json.hpp"

#include <algorithm>
#include <cmath>
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

/// The figures that a want or a need takes together, and how far each value is off: the farther, the worse.
struct Together {
  std::vector<int> figures;
  std::vector<double> off;
};

Together together(const Aim& want, const std::vector<double>& values) {
  Together out{want.figures, {}};
  for (std::size_t i = 0; i < want.figures.size(); ++i)
    out.off.push_back(std::abs(values[static_cast<std::size_t>(want.figures[i])] - want.target[i]));
  return out;
}

Together together(const Demand& need, const std::vector<double>& values) {
  Together out{need.figures, {}};
  for (const int k : need.figures) {
    const double value = values[static_cast<std::size_t>(k)];
    out.off.push_back(std::max(need.least ? *need.least - value : -1e300, need.most ? value - *need.most : -1e300));
  }
  return out;
}

/// "quantity of PLACE" for each figure; and by the quantity's name alone the one figure that it is asked of, or, where one
/// want or need asks it of several, the worst of those.
Json quantities_json(const Tuned& tuned, const Found& found) {
  Json out = Json::object();
  const auto& figures = tuned.aims.figures;
  const auto how_many = [&](const std::string& quantity) {
    return std::count_if(figures.begin(), figures.end(), [&](const Figure& f) { return f.quantity == quantity; });
  };
  const auto add_worst = [&](const std::string& quantity, const Together& of) {
    if (static_cast<std::ptrdiff_t>(of.figures.size()) != how_many(quantity) || out.contains(quantity)) return;
    const auto worst = std::max_element(of.off.begin(), of.off.end()) - of.off.begin();
    out[quantity] = maybe(found.values[static_cast<std::size_t>(of.figures[static_cast<std::size_t>(worst)])]);
  };
  for (const Aim& want : tuned.aims.wants) add_worst(want.quantity, together(want, found.values));
  for (const Demand& need : tuned.aims.needs) add_worst(need.quantity, together(need, found.values));
  for (std::size_t i = 0; i < figures.size(); ++i)
    if (how_many(figures[i].quantity) > 1)
      out[figures[i].quantity + " of " + figure_place(tuned.before.model, figures[i])] = maybe(found.values[i]);
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
