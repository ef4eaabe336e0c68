#include <nlohmann/json.hpp>
#include <string_view>

#include "cli/fit_text.hpp"
#include "cli/json_pieces.hpp"
#include "model/units.hpp"

namespace ridepitch {
namespace {

Json estimate_json(const Estimate& estimate) {
  return {{"value", estimate.value}, {"standard_error", maybe(estimate.standard_error)}};
}

Json estimate_json(const std::optional<Estimate>& estimate) {
  return estimate ? estimate_json(*estimate) : Json(nullptr);
}

std::string_view name_of(LengthFrom from) {
  switch (from) {
    case LengthFrom::told:
      return "given";
    case LengthFrom::unloaded:
      return "unloaded";
    case LengthFrom::solid:
      return "solid";
    case LengthFrom::line:
      return "line";
    case LengthFrom::push:
      return "push";
    case LengthFrom::shortest:
      break;
  }
  return "shortest";
}

std::string_view name_of(ReadingUse use) {
  switch (use) {
    case ReadingUse::unloaded:
      return "unloaded";
    case ReadingUse::solid:
      return "solid";
    case ReadingUse::stray:
      return "stray";
    case ReadingUse::fitted:
      break;
  }
  return "fitted";
}

Json notes_json(const std::vector<FitNote>& notes) {
  Json all = Json::array();
  for (const FitNote& note : notes) {
    all.push_back({{"code", note.code},
                   {"text", note.text},
                   {"remedy", note.remedy.empty() ? Json(nullptr) : Json(note.remedy)}});
  }
  return all;
}

Json part_json(const FittedPart& part) {
  return {{"name", part.name},
          {"toml", part.toml},
          {"added_to", part.added_to.empty() ? Json(nullptr) : Json(part.added_to)},
          {"replaced", part.replaced}};
}

}  // namespace

std::string fit_json(const FittedSpring& fitted, const FittedPart& part) {
  const SpringFit& fit = fitted.fit;
  Json readings = Json::array();
  for (std::size_t i = 0; i < fitted.readings.readings.size(); ++i) {
    const SpringReading& reading = fitted.readings.readings[i];
    const Json way = reading.pass == Pass::more   ? Json("more")
                     : reading.pass == Pass::less ? Json("less")
                                                  : Json(nullptr);
    readings.push_back({{"line", reading.place.line},
                        {"length_mm", reading.length_mm},
                        {"force_n", reading.force_n},
                        {"way", way},
                        {"use", name_of(fit.use[i])},
                        {"fitted_n", fit.fitted_n[i]}});
  }
  return json_document({{"fit",
                         {{"file", fitted.file},
                          {"kind", fit.kind == SpringKind::coil ? "coil" : "band"},
                          {"rate_n_per_mm", estimate_json(fit.rate_n_per_mm)},
                          {"preload_n", estimate_json(fit.preload_n)},
                          {"friction_n", estimate_json(fit.friction_n)},
                          {"free_mm", estimate_json(fit.free_mm)},
                          {"free_from", name_of(fit.free_from)},
                          {"solid_mm", maybe(fit.solid_mm)},
                          {"solid_from", fit.solid_mm ? Json(name_of(fit.solid_from)) : Json(nullptr)},
                          {"law", law_json(fit.law)},
                          {"curved", fit.curved},
                          {"deviation_n", fit.deviation_n},
                          {"freedoms", fit.freedoms},
                          {"readings", std::move(readings)},
                          {"notes", notes_json(fit.notes)},
                          {"part", part_json(part)}}}});
}

std::string fit_json(const FittedHeights& fitted, const FittedPart& part) {
  const HeightFit& fit = fitted.fit;
  Json found = Json::object(), heights = Json::array();
  const bool law = std::visit([](const auto& spring) { return spring.law.has_value(); }, fit.before);
  for (std::size_t i = 0; i < fit.unknowns.size(); ++i) {
    const char* key = fit.unknowns[i] == Unknown::free_length ? "free_mm"
                      : fit.unknowns[i] == Unknown::preload   ? "preload_n"
                      : law                                   ? "law_factor"
                                                              : "rate_n_per_mm";
    found[key] = estimate_json(fit.found[i]);
  }
  for (const HeightMatch& match : fit.matches) {
    const HeightRow& row = fitted.readings.rows[static_cast<std::size_t>(match.row)];
    heights.push_back({{"line", row.place.line},
                       {"extra_g", row.extra_kg / kg_per_g},
                       {"corner", fitted.model.corners[static_cast<std::size_t>(match.corner)].name},
                       {"measured_mm", match.measured_mm},
                       {"before_mm", match.before_mm},
                       {"fitted_mm", match.after_mm}});
  }
  return json_document({{"fit",
                         {{"file", fitted.file},
                          {"model", fitted.model.name},
                          {"spring", fit.name},
                          {"spring_part", fit.part.empty() ? Json(nullptr) : Json(fit.part)},
                          {"found", std::move(found)},
                          {"deviation_mm", fit.deviation_mm},
                          {"freedoms", fit.freedoms},
                          {"heights", std::move(heights)},
                          {"notes", notes_json(fit.notes)},
                          {"part", part_json(part)}}}});
}

}  // namespace ridepitch
