#include "cli/words_json.hpp"

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

Json described(const Coil& coil) {
  return {{"free_mm", coil.free_mm},
          {"solid_mm", coil.solid_mm},
          {"rate_n_per_mm", coil.law ? Json(nullptr) : Json(coil.rate_n_per_mm)},
          {"preload_n", coil.law ? Json(nullptr) : Json(coil.preload_n)},
          {"law", law_json(coil.law)},
          {"solid_force_n", force_when_solid_n(coil)},
          {"friction_n", coil.friction_n},
          {"diameter_mm", maybe_above_0(coil.diameter_mm)},
          {"mass_g", maybe_above_0(coil.mass_g)}};
}

Json described(const Band& band) {
  return {{"free_mm", band.free_mm},
          {"rate_n_per_mm", band.law ? Json(nullptr) : Json(band.rate_n_per_mm)},
          {"law", law_json(band.law)},
          {"double_length_force_n", force_at_double_length_n(band)},
          {"mass_g", maybe_above_0(band.mass_g)}};
}

Json described(const Tyre& tyre) {
  return {{"diameter_mm", tyre.diameter_mm},
          {"width_mm", maybe_above_0(tyre.width_mm)},
          {"rate_n_per_mm", maybe(tyre.rate_n_per_mm)},
          {"mass_g", maybe_above_0(tyre.mass_g)}};
}

Json described(const Piece& piece) {
  return {{"length", maybe(piece.length)},
          {"teeth", piece.teeth ? Json(*piece.teeth) : Json(nullptr)},
          {"mass_g", maybe_above_0(piece.mass_g)}};
}

Json part_object(const Part& part, const PartsList& list) {
  Json out = {{"name", part.name}, {"kind", kind_of(part)}};
  out.update(std::visit([](const auto& data) { return described(data); }, part.data));
  if (!list.has_prices) return out;
  const auto price = list.prices.find(part.name);
  const bool known = price != list.prices.end();
  out["price"] = known ? Json(price->second.price) : Json(nullptr);
  out["stock"] = known ? Json(stock_name(price->second.stock)) : Json(nullptr);
  return out;
}

}  // namespace

std::string word_json(const Word& word) { return json_document(word_object(word)); }

std::string glossary_json() { return json_document({{"words", list_json(all_words(), word_object)}}); }

std::string parts_list_json(const PartsList& list) {
  return json_document({{"model", maybe(list.of)},
                        {"parts", list_json(list.parts, [&](const Part& part) { return part_object(part, list); })}});
}

}  // namespace ridepitch
