#include "cli/words_json.hpp"

#include <nlohmann/json.hpp>

#include "cli/json_pieces.hpp"
#include "model/read_parts.hpp"

namespace ridepitch {
namespace {

Json word_object(const Word& word) {
  return {
      {"word", word.word},         {"unit", maybe(word.unit)},  {"meaning", word.meaning},         {"text", word.text},
      {"synonyms", word.synonyms}, {"see_also", word.see_also}, {"topic", topic_title(word.topic)}};
}

Json maybe_above_0(double value) { return value > 0 ? Json(value) : Json(nullptr); }

void describe(Json& out, const Coil& coil) {
  out["free_mm"] = coil.free_mm;
  out["solid_mm"] = coil.solid_mm;
  out["rate_n_per_mm"] = coil.law ? Json(nullptr) : Json(coil.rate_n_per_mm);
  out["preload_n"] = coil.law ? Json(nullptr) : Json(coil.preload_n);
  out["law"] = law_json(coil.law);
  out["solid_force_n"] = force_when_solid_n(coil);
  out["friction_n"] = coil.friction_n;
  out["diameter_mm"] = maybe_above_0(coil.diameter_mm);
  out["mass_g"] = maybe_above_0(coil.mass_g);
}

void describe(Json& out, const Band& band) {
  out["free_mm"] = band.free_mm;
  out["rate_n_per_mm"] = band.law ? Json(nullptr) : Json(band.rate_n_per_mm);
  out["law"] = law_json(band.law);
  out["double_length_force_n"] = force_at_double_length_n(band);
  out["mass_g"] = maybe_above_0(band.mass_g);
}

void describe(Json& out, const Tyre& tyre) {
  out["diameter_mm"] = tyre.diameter_mm;
  out["width_mm"] = maybe_above_0(tyre.width_mm);
  out["rate_n_per_mm"] = maybe(tyre.rate_n_per_mm);
  out["mass_g"] = maybe_above_0(tyre.mass_g);
}

void describe(Json& out, const Piece& piece) {
  out["length"] = maybe(piece.length);
  out["teeth"] = piece.teeth ? Json(*piece.teeth) : Json(nullptr);
  out["mass_g"] = maybe_above_0(piece.mass_g);
}

Json part_object(const Part& part, const PartsList& list) {
  Json out = {{"name", part.name}, {"kind", kind_of(part)}};
  std::visit([&](const auto& data) { describe(out, data); }, part.data);
  if (list.has_prices) {
    const auto price = list.prices.find(part.name);
    const bool known = price != list.prices.end();
    out["price"] = known ? Json(price->second.price) : Json(nullptr);
    out["stock"] = known ? Json(stock_name(price->second.stock)) : Json(nullptr);
  }
  return out;
}

}  // namespace

std::string word_json(const Word& word) { return json_document(word_object(word)); }

std::string glossary_json() {
  Json words = Json::array();
  for (const Word& word : all_words()) words.push_back(word_object(word));
  return json_document({{"words", std::move(words)}});
}

std::string parts_list_json(const PartsList& list) {
  Json parts = Json::array();
  for (const Part& part : list.parts) parts.push_back(part_object(part, list));
  return json_document({{"model", maybe(list.of)}, {"parts", std::move(parts)}});
}

}  // namespace ridepitch
