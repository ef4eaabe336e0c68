#include "model/read_parts.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include <fmt/core.h>

#include "model/toml_text.hpp"
#include "model/units.hpp"

namespace ridepitch {
namespace {

constexpr std::size_t most_parts = 10'000;
constexpr std::size_t most_law_points = 10'000;
constexpr std::size_t most_holes_of_a_part = 1000;
constexpr std::size_t most_walls = 20;
constexpr double most_across = 1000;  // [modules] of a part, in any direction

// Lengths in a catalogue have a decimal or two; a law that ends this near to solid reaches it.
constexpr double law_end_tolerance_mm = 1e-9;

/// What a part of each kind is before its keys are read.
const std::array<std::pair<std::string_view, PartData>, 8> known_kinds = {{{Coil::kind, Coil{}},
                                                                           {Band::kind, Band{}},
                                                                           {Tyre::kind, Tyre{}},
                                                                           {"beam", Piece{"beam"}},
                                                                           {"rod", Piece{"rod"}},
                                                                           {"pin", Piece{"pin"}},
                                                                           {"gear", Piece{"gear"}},
                                                                           {"other", Piece{"other"}}}};

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
void read_rate_or_law(const Fields& fields, std::optional<ForceTable>& law, std::string_view first_column) {
  const TomlEntry* rate = fields.find("rate_n_per_mm");
  const TomlEntry* points = fields.find("law");
  if (!rate && !points) {
    fields.problem(fields.name_place, "missing-key",
                   fmt::format("{} has neither 'rate_n_per_mm' nor 'law'", fields.what), "add: rate_n_per_mm = 0.62");
  }
  if (points) law = read_law(fields, *points, first_column);
  for (const std::string_view key : {"rate_n_per_mm", "preload_n"}) {
    if (!points || !fields.find(key)) continue;
    fields.problem(fields.find(key)->place, "law", fmt::format("{} has a law, and '{}' beside it", fields.what, key),
                   "the law holds rate and preload; remove the one or the other");
  }
}

std::vector<KnownKey> keys_of(Piece& piece) {
  return {{"length", &piece.length, not_negative("modules")},
          {"mass_g", &piece.mass_g, not_negative("g")},
          {"teeth", &piece.teeth, up_to_1000}};
}

/// What a part that bodies are made of says of its holes.
std::vector<KnownKey> hole_keys_of(Piece& piece) {
  return {{"holes"}, {"cross"}, {"thick", &piece.thick, {"modules", 0, true, most_across}}, {"walls"}};
}

/// What only a rod says: how far its ball ends swing.
std::vector<KnownKey> swing_keys_of(Piece& piece) {
  return {{"swing_deg", &piece.swing_rad, swing_angle * rad_per_deg}};
}

/// A list of places on a part's own grid; empty where it is none (reported).
std::vector<Vec2> read_places(const Fields& fields, const TomlEntry& entry, const char* example) {
  const TomlArray* list = fields.list(&entry, example);
  if (!list) return {};
  if (list->size() > most_holes_of_a_part) {
    fields.problem(entry.place, "too-many",
                   fmt::format("{} has over {} places", fields.subject(entry), most_holes_of_a_part));
    return {};
  }
  std::vector<Vec2> places;
  for (const TomlValue& value : *list) {
    const auto at = numbers_value(fields.reading, value, value.place, "a place of " + fields.subject(entry), 2,
                                  "[u, v]", within(-most_across, most_across, "modules"));
    if (!at) return {};
    places.emplace_back(at->data());
  }
  return places;
}

/// `cross`: which of its holes are cross holes.
void read_cross(const Fields& fields, Piece& piece) {
  const TomlEntry* entry = fields.find("cross");
  if (!entry) return;
  if (piece.holes.empty()) {
    if (!fields.find("holes"))
      fields.problem(entry->place, "missing-key", fmt::format("{} has 'cross', but no 'holes'", fields.what),
                     "say where its holes are: holes = [[0, 0], [1, 0], [2, 0]]");
    return;
  }
  const TomlArray* values = std::get_if<TomlArray>(&entry->value.data);
  const std::vector<Vec2> places = read_places(fields, *entry, "cross = [[0, 0], [2, 0]]");
  for (std::size_t i = 0; i < places.size(); ++i) {
    const auto hole = std::find(piece.holes.begin(), piece.holes.end(), places[i]);
    if (hole != piece.holes.end())
      piece.cross.push_back(static_cast<int>(hole - piece.holes.begin()));
    else
      fields.problem((*values)[i].place, "unknown-name",
                     fmt::format("'cross' of {} names [{}, {}], which is not among its holes", fields.what,
                                 places[i].x(), places[i].y()),
                     "its cross holes are some of its 'holes'");
  }
}

/// `walls`: where they are across, two or more.
void read_walls(const Fields& fields, Piece& piece) {
  const TomlEntry* entry = fields.find("walls");
  const TomlArray* list = fields.list(entry, "walls = [0, 6]");
  if (!list) return;
  if (list->size() < 2 || list->size() > most_walls) {
    fields.problem(entry->place, "wrong-type",
                   fmt::format("{} must be a list of 2 to {} distances, but has {}", fields.subject(*entry), most_walls,
                               list->size()),
                   "a part with one wall has no 'walls'");
    return;
  }
  std::vector<double> walls;
  for (const TomlValue& value : *list) {
    const auto at = number_value(fields.reading, value, value.place, "a wall of " + fields.what,
                                 within(-most_across, most_across, "modules"));
    if (!at) return;
    if (!walls.empty() && *at < walls.back() + piece.thick) {
      fields.problem(value.place, "out-of-range",
                     fmt::format("a wall of {} at {} modules stands in the one at {}, which is {} thick", fields.what,
                                 *at, walls.back(), piece.thick),
                     "name the walls in order, each beyond the one before it");
      return;
    }
    walls.push_back(*at);
  }
  piece.walls = std::move(walls);
}

/// A beam of a whole length that does not say where its holes are has one each module.
void fill_in_holes(Piece& piece) {
  if (piece.kind != "beam" || !piece.length) return;
  const double length = *piece.length;
  if (length < 1 || length > static_cast<double>(most_holes_of_a_part) || length != std::floor(length)) return;
  for (int i = 0; i < static_cast<int>(length); ++i) piece.holes.emplace_back(i, 0);
}

void read_part(const Fields& fields, Piece& piece, const std::vector<KnownKey>& others, KeyOwner owner) {
  const bool has_holes = piece.kind == "beam" || piece.kind == "other";
  std::vector<KnownKey> own;
  if (has_holes) own = hole_keys_of(piece);
  if (piece.kind == "rod") own = swing_keys_of(piece);
  fields.read(all_keys({others, keys_of(piece), own}), owner);
  if (!has_holes) return;
  if (const TomlEntry* holes = fields.find("holes"))
    piece.holes = read_places(fields, *holes, "holes = [[0, 0], [1, 0], [2, 0]]");
  else
    fill_in_holes(piece);
  read_cross(fields, piece);
  read_walls(fields, piece);
}

void read_catalogue_part(const Fields& fields, Catalogue& catalogue) {
  Part part{fields.name, Piece{}, fields.name_place};
  const TomlEntry* entry = fields.need("kind", "kind = \"coil\"");
  // Without a kind its name is known, though nothing can be said of it: see kind_of().
  if (const auto kind = fields.text(entry)) {
    const auto found =
        std::find_if(known_kinds.begin(), known_kinds.end(), [&](const auto& each) { return each.first == *kind; });
    if (found != known_kinds.end()) {
      part.data = found->second;
      std::visit([&](auto& data) { read_part(fields, data, {{"kind"}}, part_key_owner); }, part.data);
    } else {
      fields.problem(entry->place, "unknown-name", fmt::format("{} is not a kind of part", in_quotes(*kind)),
                     fields.reading.suggest(*kind, {part_kinds().begin(), part_kinds().end()}, "kinds"));
    }
  }
  catalogue.insert_or_assign(fields.name, std::move(part));
}

}  // namespace

std::vector<KnownKey> keys_of(Coil& coil) {
  return {{"free_mm", &coil.free_mm, not_negative("mm"), "free_mm = 56"},
          {"solid_mm", &coil.solid_mm, not_negative("mm"), "solid_mm = 40"},
          {"rate_n_per_mm", &coil.rate_n_per_mm, not_negative("N/mm")},
          {"law"},
          {"preload_n", &coil.preload_n, not_negative("N")},
          {"friction_n", &coil.friction_n, not_negative("N")},
          {"damping_n_s_per_mm", &coil.damping_n_s_per_mm, not_negative("N s/mm")},
          {"diameter_mm", &coil.diameter_mm, not_negative("mm")},
          {"mass_g", &coil.mass_g, not_negative("g")}};
}

std::vector<KnownKey> keys_of(Band& band) {
  return {{"free_mm", &band.free_mm, not_negative("mm"), "free_mm = 40"},
          {"rate_n_per_mm", &band.rate_n_per_mm, not_negative("N/mm")},
          {"law"},
          {"damping_n_s_per_mm", &band.damping_n_s_per_mm, not_negative("N s/mm")},
          {"mass_g", &band.mass_g, not_negative("g")}};
}

std::vector<KnownKey> keys_of(Tyre& tyre) {
  return {{"diameter_mm", &tyre.diameter_mm, not_negative("mm"), "diameter_mm = 70"},
          {"width_mm", &tyre.width_mm, not_negative("mm")},
          {"mass_g", &tyre.mass_g, not_negative("g")},
          {"rate_n_per_mm", &tyre.rate_n_per_mm, above_zero("N/mm")}};
}

std::string_view part_key_owner(std::string_view key) {
  Coil coil;
  Band band;
  Tyre tyre;
  if (has_key(keys_of(coil), key)) return "a coil";
  if (has_key(keys_of(band), key)) return "a band";
  if (has_key(keys_of(tyre), key)) return "a tyre";
  Piece piece;
  if (has_key(hole_keys_of(piece), key)) return "a beam or other part";
  if (has_key(swing_keys_of(piece), key)) return "a rod";
  return key == "teeth" ? "a gear" : key == "length" ? "a beam or rod" : "";
}

void read_part(const Fields& fields, Coil& coil, const std::vector<KnownKey>& others, KeyOwner owner) {
  const bool has_lengths = fields.read(all_keys({others, keys_of(coil)}), owner);
  read_rate_or_law(fields, coil.law, "compression_mm");
  if (!has_lengths) return;
  const double stroke_mm = coil.free_mm - coil.solid_mm;
  if (stroke_mm <= 0) {
    fields.problem(
        fields.find("solid_mm")->place, "out-of-range",
        fmt::format("{} is solid at {} mm, but only {} mm long when free", fields.what, coil.solid_mm, coil.free_mm),
        "solid_mm is less than free_mm");
  } else if (coil.law && coil.law->back().x() < stroke_mm - law_end_tolerance_mm) {
    fields.problem(fields.find("law")->place, "law",
                   fmt::format("the law of {} ends at {} mm, but it is solid only at {} mm", fields.what,
                               coil.law->back().x(), stroke_mm),
                   "add points up to free_mm less solid_mm");
  }
}

void read_part(const Fields& fields, Band& band, const std::vector<KnownKey>& others, KeyOwner owner) {
  fields.read(all_keys({others, keys_of(band)}), owner);
  read_rate_or_law(fields, band.law, "extension_mm");
  if (!band.law || band.law->front().y() == 0) return;
  fields.problem(
      std::get<TomlArray>(fields.find("law")->value.data)[0].place, "law",
      fmt::format("the law of {} must begin at [0, 0], but begins at [0, {}]", fields.what, band.law->front().y()),
      "a band that is not stretched does not pull");
}

void read_part(const Fields& fields, Tyre& tyre, const std::vector<KnownKey>& others, KeyOwner owner) {
  fields.read(all_keys({others, keys_of(tyre)}), owner);
}

const std::vector<std::string_view>& part_kinds() {
  static const std::vector<std::string_view> names = [] {
    std::vector<std::string_view> all;
    for (const auto& [name, empty] : known_kinds) all.push_back(name);
    return all;
  }();
  return names;
}

const std::vector<std::string_view>& spring_kinds() {
  static const std::vector<std::string_view> names = {"coil", "band"};
  return names;
}

const std::vector<std::string_view>& piece_kinds() {
  static const std::vector<std::string_view> names = {"beam", "rod", "pin", "gear", "other"};
  return names;
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
  const Fields root{reading, parsed.root, {file, 1, 1, 1}, "the catalogue"};
  for (const Fields& fields : root.named("part", "[part.coil-7-firm]", most_parts)) {
    read_catalogue_part(fields, catalogue);
  }
}

}  // namespace ridepitch
