// What a kitchen scale read, in place of a mass budget.

#include <algorithm>

#include <fmt/core.h>

#include "model/index.hpp"
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
    if (!stands_on_ground(model, at(model.corners, wheel->corner))) {
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
  for (WheelRef ref; ref.corner < count(model.corners); ++ref.corner) {
    const Corner& corner = at(model.corners, ref.corner);
    if (!stands_on_ground(model, corner)) continue;
    const auto& wheels = linkage_of(model, corner)->wheels;
    if (!wheels.empty()) wheels_kg += corner.unsprung_kg;
    for (ref.wheel = 0; ref.wheel < count(wheels); ++ref.wheel) {
      wheels_kg += at(wheels, ref.wheel).tyre.mass_g * kg_per_g;
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
  const auto later = [](const Place& a, const Place& b) { return is_later(a, b) ? a : b; };
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
  const auto fields = root.section("sprung");
  if (!fields) return;
  Sprung& sprung = model.sprung.emplace();
  sprung.place = fields->name_place;
  fields->read({{"cg_height", &sprung.cg_height_mm, any_number("modules") * model.module_mm},
                {"size", &sprung.size_mm, not_negative("modules") * model.module_mm}});
  if (root.find("weighed")) return;
  root.problem(sprung.place, "sprung-alone", "[sprung] stands without [[weighed]]",
               "it says where the weighed mass sits; masses say that themselves");
}

}  // namespace

void read_weighed(const Fields& root, VehicleDraft& draft) {
  const std::vector<Fields> tables = root.listed("weighed", most_readings);
  bool all_known = draft.corners_known;
  for (const Fields& fields : tables) {
    Weighed weighed;
    weighed.place = fields.name_place;
    read_wheels_weighed(fields, draft, weighed, all_known);
    const bool has_grams = fields.read({{"wheels"},
                                        {"grams", &weighed.kg, not_negative("g") * kg_per_g, "grams = 1210"},
                                        {"within_g", &weighed.within_kg, not_negative("g") * kg_per_g}});
    all_known = all_known && has_grams;
    draft.model.weighed.push_back(std::move(weighed));
  }
  read_sprung(root, draft.model);
  if (tables.empty()) return;
  refuse_beside(root, tables.front().name_place, draft.model);
  if (all_known) check_readings(root, tables.back().name_place, draft.model);
}

}  // namespace ridepitch
