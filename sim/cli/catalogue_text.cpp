#include "cli/catalogue_text.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <optional>
#include <utility>

#include "model/model.hpp"
#include "model/read_parts.hpp"
#include "model/units.hpp"
#include "spring/force_law.hpp"

namespace ridepitch {
namespace {

struct Kind {
  std::string_view name, plural, title;
};

/// In the order that they are listed in.
constexpr std::array<Kind, 8> kinds = {{{"coil", "coils", "Coils"},
                                        {"band", "bands", "Bands"},
                                        {"tyre", "tyres", "Tyres"},
                                        {"beam", "beams", "Beams"},
                                        {"rod", "rods", "Rods"},
                                        {"pin", "pins", "Pins and axles"},
                                        {"gear", "gears", "Gears and racks"},
                                        {"other", "others", "Others"}}};

constexpr Kind both_springs = {"spring", "springs", ""};  // coils and bands

bool names(const Kind& kind, std::string_view word) { return word == kind.name || word == kind.plural; }

bool is_asked_for(const Kind& kind, std::string_view word) {
  return word.empty() || names(kind, word) ||
         (names(both_springs, word) && (kind.name == "coil" || kind.name == "band"));
}

/// What parts of one kind are sorted by: size, then strength.
using SizeAndStrength = std::pair<double, double>;
SizeAndStrength sorted_by(const Coil& coil) { return {coil.free_mm, force_when_solid_n(coil)}; }
SizeAndStrength sorted_by(const Band& band) { return {band.free_mm, force_at_double_length_n(band)}; }
SizeAndStrength sorted_by(const Tyre& tyre) { return {tyre.diameter_mm, tyre.width_mm}; }
SizeAndStrength sorted_by(const Piece& piece) { return {piece.length.value_or(0), piece.teeth.value_or(0)}; }

SizeAndStrength size_and_strength(const Part& part) {
  return std::visit([](const auto& data) { return sorted_by(data); }, part.data);
}

std::optional<double> given(double value) { return value > 0 ? std::optional(value) : std::nullopt; }

// ------------------------------------------------------------------------------------ columns behind the name

std::vector<Column> columns_of(const Coil&) {
  return {word_column("free", "mm", "free length"),
          word_column("solid", "mm", "solid length"),
          word_column("stroke", "mm"),
          word_column("rate", "N/mm", "spring rate"),
          word_column("preload", "N"),
          word_column("when solid", "N", "force when solid"),
          {"", "g"},
          {"diameter", "mm"},
          {"mass", "g"}};
}

Row row_of(const Coil& coil) {
  const double solid_n = force_when_solid_n(coil);
  return {number(coil.free_mm, 1),
          number(coil.solid_mm, 1),
          number(coil.free_mm - coil.solid_mm, 1),
          coil.law ? "table" : number(coil.rate_n_per_mm, 3),
          number(coil.law ? coil.law->front().y() : coil.preload_n, 2),
          number(solid_n, 2),
          number(grams_of(solid_n), 0),
          number(given(coil.diameter_mm), 1),
          number(given(coil.mass_g), 1)};
}

std::vector<Column> columns_of(const Band&) {
  return {word_column("free", "mm", "free length"),
          word_column("rate", "N/mm", "spring rate"),
          word_column("at double", "N", "pull at double length"),
          {"", "g"},
          {"mass", "g"}};
}

Row row_of(const Band& band) {
  const double pull_n = force_at_double_length_n(band);
  return {number(band.free_mm, 1), band.law ? "table" : number(band.rate_n_per_mm, 3), number(pull_n, 2),
          number(grams_of(pull_n), 0), number(given(band.mass_g), 2)};
}

std::vector<Column> columns_of(const Tyre&) {
  return {{"diameter", "mm"},
          {"width", "mm"},
          {"rate", "N/mm", "how much more load each mm takes that it sinks; none: it is taken as rigid"},
          {"mass", "g"}};
}

Row row_of(const Tyre& tyre) {
  return {number(tyre.diameter_mm, 1), number(given(tyre.width_mm), 1), number(tyre.rate_n_per_mm, 2),
          number(given(tyre.mass_g), 1)};
}

std::vector<Column> columns_of(const Piece&) { return {{"length", "modules"}, {"teeth", ""}, {"mass", "g"}}; }

Row row_of(const Piece& piece) {
  return {piece.length ? fmt::format("{:g}", *piece.length) : "-", piece.teeth ? fmt::format("{}", *piece.teeth) : "-",
          number(given(piece.mass_g), 2)};
}

std::string kind_text(const Kind& kind, const std::vector<const Part*>& parts, const PartsList& list,
                      const TextStyle& style) {
  Table table;
  table.columns = std::visit([](const auto& data) { return columns_of(data); }, parts.front()->data);
  table.columns.insert(table.columns.begin(), text_column(std::string(kind.title)));
  if (list.has_prices) {
    table.columns.push_back(word_column("price", ""));
    table.columns.push_back(word_column("stock", "", "stock", Align::left));
  }
  for (const Part* part : parts) {
    Row row = std::visit([](const auto& data) { return row_of(data); }, part->data);
    row.insert(row.begin(), shown(part->name));
    if (list.has_prices) {
      const auto price = list.prices.find(part->name);
      const bool known = price != list.prices.end();
      row.push_back(known ? number(price->second.price, 2) : "-");
      row.emplace_back(known ? stock_name(price->second.stock) : "-");
    }
    table.rows.push_back(std::move(row));
  }
  return table_text(std::move(table), style);
}

}  // namespace

bool is_part_kind(std::string_view word) {
  return names(both_springs, word) ||
         std::any_of(kinds.begin(), kinds.end(), [&](const Kind& kind) { return names(kind, word); });
}

std::vector<std::string> part_kind_names() {
  std::vector<std::string> all;
  for (const Kind& kind : kinds) all.emplace_back(kind.name);
  all.emplace_back(both_springs.name);
  return all;
}

std::string part_kinds_text() { return fmt::format("{}", fmt::join(part_kind_names(), ", ")); }

std::vector<Part> parts_of_kind(const Catalogue& catalogue, std::string_view kind) {
  std::vector<Part> all;
  for (const Kind& each : kinds) {
    if (!is_asked_for(each, kind)) continue;
    std::vector<Part> parts;
    for (const auto& [name, part] : catalogue) {
      if (kind_of(part) == each.name) parts.push_back(part);
    }
    std::stable_sort(parts.begin(), parts.end(),
                     [](const Part& a, const Part& b) { return size_and_strength(a) < size_and_strength(b); });
    all.insert(all.end(), parts.begin(), parts.end());
  }
  return all;
}

double force_when_solid_n(const Coil& coil) { return spring_force(force_law(coil), coil.solid_mm).push_n; }

double force_at_double_length_n(const Band& band) { return -spring_force(force_law(band), 2 * band.free_mm).push_n; }

std::string_view stock_name(Stock stock) {
  return stock == Stock::plenty ? "plenty" : stock == Stock::scarce ? "scarce" : "gone";
}

std::string parts_list_text(const PartsList& list, const TextStyle& style) {
  const std::string where =
      list.of.empty() ? "the built-in catalogue" : fmt::format("the catalogue of {}", shown(list.of));
  std::string text =
      wrapped(fmt::format("{} part{} in {}.", list.parts.size(), list.parts.size() == 1 ? "" : "s", where), 0) + "\n";
  for (const Kind& kind : kinds) {
    std::vector<const Part*> parts;
    for (const Part& part : list.parts) {
      if (kind_of(part) == kind.name) parts.push_back(&part);
    }
    if (!parts.empty()) text += "\n" + kind_text(kind, parts, list, style);
  }
  return text;
}

}  // namespace ridepitch
