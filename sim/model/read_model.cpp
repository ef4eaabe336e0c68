// The story of reading a model: its text, the files it names, then its sections in the order in which they need
// each other.

#include <algorithm>
#include <filesystem>

#include <fmt/core.h>

#include "model/linkage_draft.hpp"
#include "model/read.hpp"
#include "model/read_parts.hpp"
#include "model/read_prices.hpp"
#include "model/read_tune.hpp"
#include "model/read_vehicle.hpp"
#include "model/text_file.hpp"

namespace ridepitch {
namespace {

namespace fs = std::filesystem;

constexpr std::size_t most_catalogues = 20;

// Hole grids of working models run from a fraction of a millimetre to some centimetres.
constexpr NumberRule believable_module{"mm", 0.01, false, 1000};

const std::vector<std::string_view> model_keys = {
    "format", "name", "module_mm", "parts",     "prices", "mass",     "weighed", "sprung",  "clearance", "measured",
    "bar",    "bill", "keepout",   "full_size", "build",  "friction", "spread",  "linkage", "corner",    "tune"};

/// A file that the model names, beside the model: "models/parts.toml" for "parts.toml" of "models/hauler.toml".
std::string beside(const std::string& model_path, const std::string& name) {
  const fs::path named(name);
  return named.is_absolute() ? name : (fs::path(model_path).parent_path() / named).string();
}

/// Reads a named file into a new source.
///
/// @returns its index; none if it can't be read as text (reported where it is named)
std::optional<int> add_source(Reading& reading, const std::string& name, Place place, std::string_view what) {
  const std::string path = beside(reading.sources.front().name, name);
  const std::string& model_path = reading.sources.front().name;
  std::error_code ignored;
  if (!path.empty() && path.find('\0') == std::string::npos && fs::equivalent(path, model_path, ignored)) {
    reading.problem(place, "includes-itself", fmt::format("the model names itself, {}, as {}", in_quotes(name), what));
    return std::nullopt;
  }
  FileText file = read_file_text(path, true);
  if (!file.why_not.empty()) {
    reading.problem(place, "not-readable", fmt::format("{} {} can't be read: {}", what, in_quotes(name), file.why_not),
                    fmt::format("it is looked for as {}", in_quotes(path)));
    return std::nullopt;
  }
  reading.sources.push_back({path, std::move(file.text)});
  const int index = static_cast<int>(reading.sources.size()) - 1;
  if (const auto problem = text_problem(reading.sources, index)) {
    reading.problem(*problem);
    return std::nullopt;
  }
  return index;
}

/// Absent, or an empty list.
bool is_empty(const TomlEntry* entry) {
  if (!entry) return true;
  const auto* list = std::get_if<TomlArray>(&entry->value.data);
  return list && list->empty();
}

Catalogue read_catalogues(const Fields& fields) {
  Catalogue catalogue = built_in_parts();
  Reading& reading = fields.reading;
  const TomlEntry* entry = fields.find("parts");
  if (is_empty(entry)) return catalogue;
  const auto names = fields.words(entry, "parts = [\"my-parts.toml\"]");
  reading.parts_missing = !names;
  if (!names) return catalogue;
  for (std::size_t i = 0; i < names->size(); ++i) {
    const std::string& name = (*names)[i].text;
    const Place place = (*names)[i].place;
    if (i == most_catalogues) {
      reading.problem(place, "too-many", fmt::format("there are over {} catalogues", most_catalogues));
      break;
    }
    if (std::any_of(names->begin(), names->begin() + static_cast<std::ptrdiff_t>(i),
                    [&](const Fields::Word& w) { return w.text == name; })) {
      reading.problem(place, "duplicate-name", fmt::format("catalogue {} is named twice", in_quotes(name)),
                      "remove one of the two");
      continue;
    }
    if (const auto file = add_source(reading, name, place, "catalogue")) {
      read_catalogue(reading, *file, catalogue);
    } else {
      reading.parts_missing = true;
    }
  }
  return catalogue;
}

void read_named_prices(const Fields& fields, Model& model) {
  const TomlEntry* entry = fields.find("prices");
  const auto name = fields.text(entry);
  model.has_prices = entry != nullptr;
  if (!name) return;
  const int found_before = fields.reading.found;
  if (const auto file = add_source(fields.reading, *name, entry->place, "price list")) {
    model.prices = read_prices(fields.reading, *file);
  }
  if (fields.reading.found != found_before) fields.reading.parts_missing = true;
}

void read_head(const Fields& fields, Model& model) {
  const TomlEntry* entry = fields.need("format", "format = 1");
  const auto format = fields.whole(entry, any_number(""));
  if (format && *format != 1) {
    fields.problem(entry->place, "format",
                   fmt::format("the file is written in format {}, but this program reads format 1", *format),
                   "format = 1");
  }
  const TomlEntry* name = fields.need("name", "name = \"Quarry hauler\"");
  if (const auto text = fields.text(name)) {
    model.name = *text;
    check_name(fields.reading, name->place, *text, "the model");
  }
  model.module_mm = fields.number(fields.find("module_mm"), believable_module).value_or(8.0);
}

/// What a vehicle needs at least.
void check_complete(const Fields& fields, const Model& model) {
  if (is_empty(fields.find("corner"))) {
    fields.problem(fields.name_place, "missing-key", "the model has no corner",
                   "add a [[corner]] with name, linkage and at");
  }
  const bool any_on_ground = std::any_of(model.corners.begin(), model.corners.end(),
                                         [&](const Corner& corner) { return stands_on_ground(model, corner); });
  if (any_on_ground && !model.bench && is_empty(fields.find("mass")) && is_empty(fields.find("weighed"))) {
    fields.problem(
        fields.name_place, "missing-key", "the model has no mass",
        "add a [[mass]] with name, grams and at; or [[weighed]]; or, for the bench, 'load_n' to every corner");
  }
}

void note_unused_linkages(Reading& reading, const Model& model) {
  for (const Linkage& linkage : model.linkages) {
    if (is_used(model, linkage)) continue;
    reading.note(linkage.place, "unused-linkage", fmt::format("no corner uses linkage {}", in_quotes(linkage.name)),
                 fmt::format("a corner uses it by: linkage = \"{}\"", short_name(linkage.name)));
  }
}

void read_sections(Reading& reading, const TomlTable& root, Model& model) {
  const Fields fields{reading, root, Place{0, 1, 1, 1}, "the model"};
  fields.refuse_unknown(model_keys,
                        [](std::string_view key) -> std::string_view { return key == "part" ? "a catalogue" : ""; });
  read_head(fields, model);
  model.catalogue = read_catalogues(fields);
  read_named_prices(fields, model);
  const PartsAndUnits parts{model.catalogue, model.prices, model.module_mm};
  const TomlEntry* linkages = fields.find("linkage");
  model.linkages = read_linkages(fields, parts);
  VehicleDraft draft{model, true, !linkages || std::holds_alternative<TomlTable>(linkages->value.data)};
  read_corners(fields, draft);
  check_same_as(fields, draft);
  if (draft.corners_known) check_out(fields, draft);
  read_vehicle(fields, parts, draft);
  check_complete(fields, model);
  read_tune(fields, parts, draft);
  note_unused_linkages(reading, model);
}

ReadModel alone(Problem problem, const std::vector<SourceText>& sources) {
  return {std::nullopt, in_line_order({std::move(problem)}, sources), {}};
}

}  // namespace

ReadModel read_model_text(std::string_view text, const std::string& path) {
  Reading reading;
  reading.sources.push_back({path, std::string(text)});
  if (const auto problem = text_problem(reading.sources, 0)) return alone(*problem, reading.sources);
  ParsedToml parsed = parse_toml(reading.sources.front().text, 0);
  if (parsed.problem) return alone(*parsed.problem, reading.sources);

  ReadModel result;
  Model model;
  read_sections(reading, parsed.root, model);
  for (const SourceText& source : reading.sources) model.files.push_back(source.name);
  model.text = std::make_shared<const std::string>(text);
  result.problems = in_line_order(std::move(reading.problems), reading.sources);
  result.notes = in_line_order(std::move(reading.notes), reading.sources);
  if (result.problems.empty()) result.model = std::move(model);
  return result;
}

ReadPriceList read_price_list(const std::string& path) {
  FileText file = read_file_text(path, false);
  Reading reading;
  reading.sources.push_back({path, std::move(file.text)});
  ReadPriceList result;
  if (!file.why_not.empty()) {
    reading.problem({0, 0, 0, 0}, "not-readable", "the price list can't be read: " + file.why_not);
  } else if (auto problem = text_problem(reading.sources, 0)) {
    reading.problem(std::move(*problem));
  } else {
    result.prices = read_prices(reading, 0);
  }
  result.problems = in_line_order(std::move(reading.problems), reading.sources);
  if (!result.problems.empty()) result.prices.clear();
  return result;
}

ReadModel read_model(const std::string& path) {
  FileText file = read_file_text(path, false);
  if (file.why_not.empty()) return read_model_text(file.text, path);
  return alone({{0, 0, 0, 0}, "not-readable", "the file can't be read: " + file.why_not}, {{path, ""}});
}

}  // namespace ridepitch
