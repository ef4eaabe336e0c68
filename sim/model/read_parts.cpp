#include "model/read_parts.hpp"

#include <algorithm>
#include <array>

#include <fmt/core.h>

#include "model/toml_text.hpp"

namespace ridepitch {
namespace {

constexpr std::size_t most_parts = 10'000;
constexpr std::size_t most_law_points = 10'000;

// Lengths in a catalogue have a decimal or two; a law that ends this near to solid reaches it.
constexpr double law_end_tolerance_mm = 1e-9;

const std::vector<std::string_view> piece_keys = {"length", "mass_g", "teeth"};
constexpr std::array<std::string_view, 5> piece_kinds = {"beam", "rod", "pin", "gear", "other"};

/// Points that rise strictly in both columns, from 0 on.
std::optional<ForceTable> read_law(const Fields& fields, const TomlEntry& entry, std::string_view first_column) {
  const std::string subject = fields.subject(entry);
  const TomlArray* points = fields.list(&entry, "law = [[0, 1.0], [8, 4.5], [16, 10.9]]");
  if (!points) return std::nullopt;
  if (points->size() < 2 || points->size() > most_law_points) {
    fields.problem(entry.place, "law",
                   fmt::format("{} needs from 2 to {} points, but has {}", subject, most_law_points, points->size()));
    return std::nullopt;
  }
  ForceTable law;
  for (const TomlValue& point : *points) {
    const std::string axes = fmt::format("[{}, force_n]", first_column);
    const auto numbers =
        numbers_value(fields.reading, point, point.place, "a point of " + subject, 2, axes, not_negative(""));
    if (!numbers) return std::nullopt;
    const Vec2 here((*numbers)[0], (*numbers)[1]);
    if (!law.empty() && (here.x() <= law.back().x() || here.y() <= law.back().y())) {
      fields.problem(point.place, "law",
                     fmt::format("{} must rise from point to point, but [{}, {}] follows [{}, {}]", subject, here.x(),
                                 here.y(), law.back().x(), law.back().y()),
                     "each point needs more mm and more N than the one before it");
      return std::nullopt;
    }
    law.push_back(here);
  }
  if (law.front().x() != 0) {
    fields.problem((*points)[0].place, "law",
                   fmt::format("{} must begin at 0 mm, but begins at {} mm", subject, law.front().x()));
    return std::nullopt;
  }
  return law;
}

/// `rate_n_per_mm` or `law`, exactly one of them; a law takes no preload.
void read_rate_or_law(const Fields& fields, double& rate_n_per_mm, std::optional<ForceTable>& law,
                      std::string_view first_column) {
  const TomlEntry* rate = fields.find("rate_n_per_mm");
  const TomlEntry* points = fields.find("law");
  if (!rate && !points) {
    fields.problem(fields.name_place, "missing-key",
                   fmt::format("{} has neither 'rate_n_per_mm' nor 'law'", fields.what), "add: rate_n_per_mm = 0.62");
  }
  rate_n_per_mm = fields.number(rate, not_negative("N/mm")).value_or(0);
  if (points) law = read_law(fields, *points, first_column);
  for (const std::string_view key : {"rate_n_per_mm", "preload_n"}) {
    if (!points || !fields.find(key)) continue;
    fields.problem(fields.find(key)->place, "law", fmt::format("{} has a law, and '{}' beside it", fields.what, key),
                   "the law holds rate and preload; remove the one or the other");
  }
}

Piece read_piece(const Fields& fields, std::string kind) {
  Piece piece;
  piece.kind = std::move(kind);
  piece.length = fields.number(fields.find("length"), not_negative("modules"));
  piece.mass_g = fields.number(fields.find("mass_g"), not_negative("g")).value_or(0);
  piece.teeth = fields.whole(fields.find("teeth"), {"", 1, false, 1000});
  return piece;
}

void refuse_keys_of_other_kinds(const Fields& fields, const std::vector<std::string_view>& keys) {
  std::vector<std::string_view> known = {"kind"};
  known.insert(known.end(), keys.begin(), keys.end());
  fields.refuse_unknown(known, part_key_owner);
}

void read_part(Reading& reading, const NamedTable& named, Catalogue& catalogue) {
  Fields fields{reading, *named.table, named.place, "part " + in_quotes(named.name)};
  check_name(reading, named.place, named.name, "a part");
  Part part{named.name, Piece{}, named.place};
  const auto kind = fields.text(fields.need("kind", "kind = \"coil\""));
  if (!kind) {
    // Its name is known, though nothing can be said of it: see kind_of().
  } else if (*kind == "coil") {
    refuse_keys_of_other_kinds(fields, coil_keys());
    part.data = read_coil(fields);
  } else if (*kind == "band") {
    refuse_keys_of_other_kinds(fields, band_keys());
    part.data = read_band(fields);
  } else if (*kind == "tyre") {
    refuse_keys_of_other_kinds(fields, tyre_keys());
    part.data = read_tyre(fields);
  } else if (std::find(piece_kinds.begin(), piece_kinds.end(), *kind) != piece_kinds.end()) {
    refuse_keys_of_other_kinds(fields, piece_keys);
    part.data = read_piece(fields, *kind);
  } else {
    fields.problem(fields.find("kind")->place, "unknown-name",
                   fmt::format("{} is not a kind of part", in_quotes(*kind)),
                   reading.suggest(*kind, {"coil", "band", "tyre", "beam", "rod", "pin", "gear", "other"}, "kinds"));
  }
  catalogue.insert_or_assign(named.name, std::move(part));
}

}  // namespace

const std::vector<std::string_view>& coil_keys() {
  static const std::vector<std::string_view> keys = {"free_mm",   "solid_mm",   "rate_n_per_mm",      "law",
                                                     "preload_n", "friction_n", "damping_n_s_per_mm", "diameter_mm",
                                                     "mass_g"};
  return keys;
}

const std::vector<std::string_view>& band_keys() {
  static const std::vector<std::string_view> keys = {"free_mm", "rate_n_per_mm", "law", "damping_n_s_per_mm", "mass_g"};
  return keys;
}

const std::vector<std::string_view>& tyre_keys() {
  static const std::vector<std::string_view> keys = {"diameter_mm", "width_mm", "mass_g", "rate_n_per_mm"};
  return keys;
}

std::string_view part_key_owner(std::string_view key) {
  if (holds(coil_keys(), key)) return "a coil";
  if (holds(band_keys(), key)) return "a band";
  if (holds(tyre_keys(), key)) return "a tyre";
  if (key == "teeth") return "a gear";
  if (key == "length") return "a beam or rod";
  return "";
}

Coil read_coil(const Fields& fields) {
  Coil coil;
  const auto free = fields.number(fields.need("free_mm", "free_mm = 56"), not_negative("mm"));
  const auto solid = fields.number(fields.need("solid_mm", "solid_mm = 40"), not_negative("mm"));
  coil.free_mm = free.value_or(0);
  coil.solid_mm = solid.value_or(0);
  read_rate_or_law(fields, coil.rate_n_per_mm, coil.law, "compression_mm");
  coil.preload_n = fields.number(fields.find("preload_n"), not_negative("N")).value_or(0);
  coil.friction_n = fields.number(fields.find("friction_n"), not_negative("N")).value_or(0);
  coil.damping_n_s_per_mm = fields.number(fields.find("damping_n_s_per_mm"), not_negative("N s/mm")).value_or(0);
  coil.diameter_mm = fields.number(fields.find("diameter_mm"), not_negative("mm")).value_or(0);
  coil.mass_g = fields.number(fields.find("mass_g"), not_negative("g")).value_or(0);
  if (!free || !solid) return coil;
  if (coil.solid_mm >= coil.free_mm) {
    fields.problem(
        fields.find("solid_mm")->place, "out-of-range",
        fmt::format("{} is solid at {} mm, but only {} mm long when free", fields.what, coil.solid_mm, coil.free_mm),
        "solid_mm is less than free_mm");
  } else if (coil.law && coil.law->back().x() < coil.free_mm - coil.solid_mm - law_end_tolerance_mm) {
    fields.problem(fields.find("law")->place, "law",
                   fmt::format("the law of {} ends at {} mm, but it is solid only at {} mm", fields.what,
                               coil.law->back().x(), coil.free_mm - coil.solid_mm),
                   "add points up to free_mm less solid_mm");
  }
  return coil;
}

Band read_band(const Fields& fields) {
  Band band;
  band.free_mm = fields.number(fields.need("free_mm", "free_mm = 40"), not_negative("mm")).value_or(0);
  read_rate_or_law(fields, band.rate_n_per_mm, band.law, "extension_mm");
  band.damping_n_s_per_mm = fields.number(fields.find("damping_n_s_per_mm"), not_negative("N s/mm")).value_or(0);
  band.mass_g = fields.number(fields.find("mass_g"), not_negative("g")).value_or(0);
  if (band.law && band.law->front().y() != 0) {
    const auto& points = std::get<TomlArray>(fields.find("law")->value.data);
    fields.problem(
        points[0].place, "law",
        fmt::format("the law of {} must begin at [0, 0], but begins at [0, {}]", fields.what, band.law->front().y()),
        "a band that is not stretched does not pull");
  }
  return band;
}

Tyre read_tyre(const Fields& fields) {
  Tyre tyre;
  tyre.diameter_mm = fields.number(fields.need("diameter_mm", "diameter_mm = 70"), not_negative("mm")).value_or(0);
  tyre.width_mm = fields.number(fields.find("width_mm"), not_negative("mm")).value_or(0);
  tyre.mass_g = fields.number(fields.find("mass_g"), not_negative("g")).value_or(0);
  tyre.rate_n_per_mm = fields.number(fields.find("rate_n_per_mm"), above_zero("N/mm"));
  return tyre;
}

std::string_view kind_of(const Part& part) {
  return std::visit([](const auto& data) -> std::string_view { return data.kind; }, part.data);
}

std::vector<std::string> part_names(const Catalogue& catalogue, const std::vector<std::string_view>& kinds) {
  std::vector<std::string> names;
  for (const auto& [name, part] : catalogue) {
    if (holds(kinds, kind_of(part))) names.push_back(name);
  }
  return names;
}

void read_catalogue(Reading& reading, int file, Catalogue& catalogue) {
  const ParsedToml parsed = parse_toml(reading.sources[static_cast<std::size_t>(file)].text, file);
  if (parsed.problem) {
    reading.problem(*parsed.problem);
    reading.parts_missing = true;
    return;
  }
  for (const TomlEntry& entry : parsed.root.entries) {
    if (entry.key == "part") continue;
    const bool includes = entry.key == "parts" || entry.key == "prices";
    reading.problem(entry.place, "unknown-key",
                    includes ? fmt::format("a catalogue can't name other files, but this one has '{}'", entry.key)
                             : fmt::format("{} is not a key of a catalogue", in_quotes(entry.key)),
                    includes ? "name all catalogues in the model file" : "a catalogue holds [part.NAME] tables only");
  }
  for (const NamedTable& named : named_tables(reading, parsed.root.find("part"), "[part.coil-7-firm]", most_parts)) {
    read_part(reading, named, catalogue);
  }
}

}  // namespace ridepitch
