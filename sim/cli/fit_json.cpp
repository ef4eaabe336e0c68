#include "cli/fit_text.hpp"
#include "cli/json_pieces.hpp"
#include "model/units.hpp"

namespace ridepitch {
namespace {

Json estimate_json(const Estimate& estimate) {
  return {{"value", estimate.value}, {"standard_error", maybe(estimate.standard_error)}};
}

Json note_json(const FitNote& note) {
  return {{"code", note.code}, {"text", note.text}, {"remedy", maybe(note.remedy)}};
}

Json part_json(const FittedPart& part) {
  return {{"name", part.name}, {"toml", part.toml}, {"added_to", maybe(part.added_to)}, {"replaced", part.replaced}};
}

const char* pass_name(Pass pass) { return pass == Pass::more ? "more" : pass == Pass::less ? "less" : ""; }

}  // namespace

std::string fit_json(const FittedSpring& fitted, const FittedPart& part) {
  const SpringFit& fit = fitted.fit;
  Json readings = Json::array();
  for (std::size_t i = 0; i < fitted.readings.readings.size(); ++i) {
    const SpringReading& reading = fitted.readings.readings[i];
    readings.push_back({{"line", reading.place.line},
                        {"length_mm", reading.length_mm},
                        {"force_n", reading.force_n},
                        {"way", maybe(pass_name(reading.pass))},
                        {"use", said_of(fit.use[i]).key},
                        {"fitted_n", fit.fitted_n[i]}});
  }
  return json_document({{"fit",
                         {{"file", fitted.file},
                          {"kind", fit.kind == SpringKind::coil ? "coil" : "band"},
                          {"rate_n_per_mm", estimate_json(fit.rate_n_per_mm)},
                          {"preload_n", maybe(fit.preload_n, estimate_json)},
                          {"friction_n", maybe(fit.friction_n, estimate_json)},
                          {"free_mm", estimate_json(fit.free_mm)},
                          {"free_from", said_of(fit.free_from).key},
                          {"solid_mm", maybe(fit.solid_mm)},
                          {"solid_from", maybe(fit.solid_mm ? said_of(fit.solid_from).key : "")},
                          {"law", law_json(fit.law)},
                          {"curved", fit.curved},
                          {"deviation_n", fit.deviation_n},
                          {"freedoms", fit.freedoms},
                          {"readings", std::move(readings)},
                          {"notes", list_json(fit.notes, note_json)},
                          {"part", part_json(part)}}}});
}

std::string fit_json(const FittedHeights& fitted, const FittedPart& part) {
  const HeightFit& fit = fitted.fit;
  Json found = Json::object();
  for (std::size_t i = 0; i < fit.unknowns.size(); ++i)
    found[words_of(fit.unknowns[i], has_law(fit.before)).key] = estimate_json(fit.found[i]);
  Json heights = list_json(fit.matches, [&](const HeightMatch& match) -> Json {
    const HeightRow& row = fitted.readings.rows[static_cast<std::size_t>(match.row)];
    return {{"line", row.place.line},
            {"extra_g", row.extra_kg / kg_per_g},
            {"corner", fitted.model.corners[static_cast<std::size_t>(match.corner)].name},
            {"measured_mm", match.measured_mm},
            {"before_mm", match.before_mm},
            {"fitted_mm", match.after_mm}};
  });
  return json_document({{"fit",
                         {{"file", fitted.file},
                          {"model", fitted.model.name},
                          {"spring", fit.name},
                          {"spring_part", maybe(fit.part)},
                          {"found", std::move(found)},
                          {"explains", fit.explains},
                          {"deviation_mm", fit.deviation_mm},
                          {"freedoms", fit.freedoms},
                          {"heights", std::move(heights)},
                          {"notes", list_json(fit.notes, note_json)},
                          {"part", part_json(part)}}}});
}

}  // namespace ridepitch
