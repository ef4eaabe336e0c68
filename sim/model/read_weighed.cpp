// What a kitchen scale read, in place of a mass budget.

#include <algorithm>

#include <fmt/core.h>

#include "model/read_vehicle.hpp"
#include "model/units.hpp"

namespace ridepitch {
namespace {

constexpr std::size_t most_readings = 200;

bool is_named(const std::vector<Weighed>& readings, WheelRef wheel) {
  return std::any_of(readings.begin(), readings.end(), [&](const Weighed& reading) {
    return std::find(reading.wheels.begin(), reading.wheels.end(), wheel) != reading.wheels.end();
  });
}

void read_wheels_weighed(const Fields& fields, const VehicleDraft& draft, Weighed& weighed, bool& wheels_known) {
  const char* const example = "wheels = [\"rear left/hub\", \"rear right/hub\"]";
  const TomlEntry* entry = fields.need("wheels", example);
  const auto names = fields.words(entry, example);
  if (!names) wheels_known = false;
  for (const Fields::Word& name : names.value_or(std::vector<Fields::Word>{})) {
    const auto wheel = find_wheel(fields.reading, draft, name.text, name.place, fields.what);
    if (!wheel) {
      wheels_known = false;
      continue;
    }
    const Model& model = draft.model;
    if (!stands_on_ground(model, model.corners[static_cast<std::size_t>(wheel->corner)])) {
      fields.problem(name.place, "top",
                     fmt::format("{} names {}, a wheel of a top linkage", fields.what, in_quotes(name.text)),
                     "name the sprung wheel that it steers");
    } else if (is_named(model.weighed, *wheel) ||
               std::find(weighed.wheels.begin(), weighed.wheels.end(), *wheel) != weighed.wheels.end()) {
      fields.problem(name.place, "weighed-twice", fmt::format("wheel {} is weighed twice", in_quotes(name.text)),
                     "every wheel is named once over all [[weighed]]");
    } else {
      weighed.wheels.push_back(*wheel);
    }
  }
}

/// Every wheel on the ground has its reading, and together they carry more than the wheels themselves.
void check_readings(const Fields& root, Place place, const Model& model) {
  std::vector<std::string> missing;
  double wheels_kg = 0, read_kg = 0;
  for (std::size_t c = 0; c < model.corners.size(); ++c) {
    const Corner& corner = model.corners[c];
    if (!stands_on_ground(model, corner)) continue;
    const auto& wheels = linkage_of(model, corner)->wheels;
    if (!wheels.empty()) wheels_kg += corner.unsprung_kg;
    for (std::size_t w = 0; w < wheels.size(); ++w) {
      const WheelRef ref{static_cast<int>(c), static_cast<int>(w)};
      wheels_kg += wheels[w].tyre.mass_g * kg_per_g;
      if (!is_named(model.weighed, ref)) missing.push_back(wheel_name(model, ref));
    }
  }
  for (const Weighed& weighed : model.weighed) read_kg += weighed.kg;
  if (!missing.empty()) {
    root.problem(place, "not-weighed", fmt::format("no [[weighed]] names {}", list_in_quotes(missing)),
                 "every wheel that stands on the ground is named once over all readings");
  } else if (read_kg <= wheels_kg) {
    root.problem(place, "weighed-too-light",
                 fmt::format("the readings add up to {:.6g} g, but tyres and 'unsprung_grams' alone are {:.6g} g",
                             read_kg / kg_per_g, wheels_kg / kg_per_g),
                 "grams are what the scale reads under these wheels together");
  }
}

/// A weighing stands in place of masses and loads.
void refuse_beside(const Fields& root, Place place, const Model& model) {
  const auto later = [](const Place& a, const Place& b) {
    return std::pair(a.line, a.column) > std::pair(b.line, b.column) ? a : b;
  };
  if (!model.masses.empty()) {
    root.problem(later(place, model.masses.front().place), "weighed-and-mass",
                 "the file has both [[weighed]] and [[mass]]",
                 "what a scale read stands in place of the mass budget; remove one of them");
  }
  const auto loaded =
      std::find_if(model.corners.begin(), model.corners.end(), [](const Corner& c) { return c.load_n.has_value(); });
  if (loaded != model.corners.end()) {
    root.problem(later(place, loaded->place), "weighed-and-load",
                 fmt::format("the file has [[weighed]], and corner {} has a load", in_quotes(loaded->name)),
                 "loads are for the bench, where there is no vehicle to weigh; remove one of them");
  }
}

void read_sprung(const Fields& root, Model& model) {
  const TomlEntry* entry = root.find("sprung");
  const TomlTable* table = single_table(root.reading, entry);
  if (!table) return;
  const Fields fields{root.reading, *table, entry->value.place, "[sprung]"};
  fields.refuse_unknown({"cg_height", "size"});
  Sprung sprung;
  sprung.place = entry->value.place;
  if (const auto height = fields.number(fields.find("cg_height"), any_number("modules"))) {
    sprung.cg_height_mm = *height * model.module_mm;
  }
  if (const auto size = fields.vec3(fields.find("size"), not_negative("modules")))
    sprung.size_mm = *size * model.module_mm;
  model.sprung = sprung;
  if (root.find("weighed")) return;
  root.problem(sprung.place, "sprung-alone", "[sprung] stands without [[weighed]]",
               "it says where the weighed mass sits; masses say that themselves");
}

}  // namespace

void read_weighed(const Fields& fields, VehicleDraft& draft) {
  Reading& reading = fields.reading;
  const auto tables = listed_tables(reading, fields.find("weighed"), most_readings);
  bool wheels_known = draft.corners_known;
  for (const ListedTable& listed : tables) {
    const Fields weighed_fields{reading, *listed.table, listed.place, "this [[weighed]]"};
    weighed_fields.refuse_unknown({"wheels", "grams", "within_g"});
    Weighed weighed;
    weighed.place = listed.place;
    read_wheels_weighed(weighed_fields, draft, weighed, wheels_known);
    const auto grams = weighed_fields.number(weighed_fields.need("grams", "grams = 1210"), not_negative("g"));
    weighed.kg = grams.value_or(0) * kg_per_g;
    const auto within = weighed_fields.number(weighed_fields.find("within_g"), not_negative("g"));
    if (within) weighed.within_kg = *within * kg_per_g;
    wheels_known = wheels_known && grams;
    draft.model.weighed.push_back(std::move(weighed));
  }
  read_sprung(fields, draft.model);
  if (tables.empty()) return;
  refuse_beside(fields, tables.front().place, draft.model);
  if (wheels_known) check_readings(fields, tables.back().place, draft.model);
}

}  // namespace ridepitch
