#include "cli/json_pieces.hpp"
#include "cli/rework_text.hpp"
#include "swap/change_words.hpp"

namespace ridepitch {
namespace {

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

std::string rework_json(const Reworked& r) {
  const Model& model = r.before.model;
  Json alone = list_json(r.alone, [&](const StandIn& each) {
    return verdict_json(each.comparison, {{"part", each.part},
                                          {"count", each.count},
                                          {"price_more", model.has_prices ? maybe(each.price_more) : Json(nullptr)},
                                          {"why_not", maybe(each.why_not)}});
  });
  Json layouts = list_json(r.holes.layouts, [&](const Layout& each) {
    return verdict_json(each.comparison, {{"score", each.found.score},
                                          {"changes", steps_json(model, each.found.changes)},
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
                        {"layouts", std::move(layouts)},
                        {"do", steps_json(model, r.picked_changes)},
                        {"before", solved_json(r.before)},
                        {"after", r.picked ? solved_json(*r.picked) : Json(nullptr)},
                        {"written", maybe(r.written)}});
}

}  // namespace ridepitch
