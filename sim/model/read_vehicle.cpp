#include "model/read_vehicle.hpp"

#include <algorithm>

#include <fmt/core.h>

#include "model/read_parts.hpp"
#include "model/units.hpp"

namespace ridepitch {
namespace {

constexpr std::size_t most_listed_tables = 1000;

/// What a `[[key]]` with a name is called in messages.
struct NamedList {
  const char* key;
  const char* one;
  const char* name_example;
  const char* several = nullptr;  ///< null: names may be given twice
};

/// Reads the tables of `[[key]]` into a list. `read` is told the fields and the thing to fill in.
template <typename Named, typename Read>
void read_list(const Fields& root, const NamedList& words, std::vector<Named>& list, const Read& read) {
  for (Fields& fields : root.listed(words.key, most_listed_tables)) {
    Named thing;
    thing.place = fields.name_place;
    const TomlEntry* entry = fields.need("name", words.name_example);
    thing.name = fields.text(entry).value_or("");
    if (!thing.name.empty()) fields.what = fmt::format("{} {}", words.one, in_quotes(thing.name));
    if (entry && std::holds_alternative<std::string>(entry->value.data)) {
      check_name(fields.reading, entry->place, thing.name, fields.what);
    }
    read(fields, thing);
    if (words.several && !thing.name.empty() && named(list, thing.name)) {
      fields.problem(thing.place, "duplicate-name",
                     fmt::format("there are two {} named {}", words.several, in_quotes(thing.name)),
                     "rename or remove one of the two");
    }
    list.push_back(std::move(thing));
  }
}

KnownKey at_key(Vec3& at_mm, double module_mm) {
  return {"at", &at_mm, any_number("modules") * module_mm, "at = [6, 0, 4]   (x, y, z in modules)"};
}

void read_masses(const Fields& root, Model& model) {
  read_list(root, {"mass", "mass", "name = \"battery box\""}, model.masses, [&](const Fields& fields, Mass& mass) {
    fields.read({{"name"},
                 {"grams", &mass.kg, above_zero("g") * kg_per_g, "grams = 240"},
                 at_key(mass.at_mm, model.module_mm),
                 {"size", &mass.size_mm, not_negative("modules") * model.module_mm}});
  });
}

void read_clearances(const Fields& root, Model& model) {
  read_list(root, {"clearance", "clearance point", "name = \"belly\"", "clearance points"}, model.clearances,
            [&](const Fields& fields, Clearance& point) {
              fields.read({{"name"}, at_key(point.at_mm, model.module_mm)});
            });
}

void read_measured(const Fields& root, VehicleDraft& draft) {
  auto& all = draft.model.measured;
  for (const Fields& fields : root.listed("measured", most_listed_tables)) {
    Measured measured;
    measured.place = fields.name_place;
    const TomlEntry* of = fields.need("of", "of = \"rear left\"");
    fields.read({{"of"},
                 {"ride_height_mm", &measured.ride_height_mm, not_negative("mm"), "ride_height_mm = 39"},
                 {"within_mm", &measured.within_mm, not_negative("mm")}});
    const auto name = fields.text(of);
    const auto corner = name ? find_corner(root.reading, draft, *name, of->place, fields.subject(*of)) : std::nullopt;
    if (!corner) continue;
    measured.corner = *corner;
    if (std::any_of(all.begin(), all.end(), [&](const Measured& m) { return m.corner == *corner; })) {
      fields.problem(measured.place, "duplicate-name", fmt::format("corner {} is measured twice", in_quotes(*name)),
                     "remove one of the two");
    }
    all.push_back(measured);
  }
}

void read_bar_ends(const Fields& fields, const VehicleDraft& draft, Bar& bar) {
  const char* const example = "ends = [\"rear left/arm\", \"rear right/arm\"]";
  const TomlEntry* entry = fields.need("ends", example);
  const auto names = read_two_bodies(fields, entry, example);
  if (!names) return;
  bool both = true;
  for (std::size_t i = 0; i < 2; ++i) {
    const auto& [name, place] = (*names)[i];
    const auto end = find_corner_body(fields.reading, draft, name, place, fields.subject(*entry));
    both = both && end;
    if (!end) continue;
    bar.ends[i] = *end;
    if (end->body == chassis) {
      fields.problem(place, "chassis", fmt::format("{} ends at {}, the chassis", fields.what, in_quotes(name)),
                     "a bar couples two bodies that move");
    }
    if (!stands_on_ground(draft.model, at(draft.model.corners, end->corner))) {
      fields.problem(place, "top",
                     fmt::format("{} ends at {}, which is in a top linkage", fields.what, in_quotes(name)),
                     "a bar couples two corners that carry the vehicle");
    }
  }
  if (both && bar.ends[0].corner == bar.ends[1].corner) {
    fields.problem((*names)[1].place, "same-corner", fmt::format("{} has both its ends at one corner", fields.what),
                   "a bar couples two corners; within one corner a torsion spring does that");
  }
}

void read_bars(const Fields& root, VehicleDraft& draft) {
  read_list(root, {"bar", "bar", "name = \"rear bar\"", "bars"}, draft.model.bars, [&](const Fields& fields, Bar& bar) {
    read_bar_ends(fields, draft, bar);
    fields.read({{"name"},
                 {"ends"},
                 {"rate_n_mm_per_deg", &bar.rate_n_mm_per_rad, not_negative("N mm/degree") * deg_per_rad,
                  "rate_n_mm_per_deg = 12"},
                 {"free_deg", &bar.free_rad, any_number("degrees") * rad_per_deg}});
    if (!draft.model.bench) return;
    fields.problem(bar.place, "bench",
                   fmt::format("{} can't work on the bench, where each linkage stands alone", fields.what),
                   "remove the bar, or the loads of the corners");
  });
}

void read_bill(const Fields& root, const PartsAndUnits& parts, Model& model) {
  for (const Fields& fields : root.listed("bill", most_listed_tables)) {
    BillLine& line = model.bill.emplace_back();
    line.place = fields.name_place;
    fields.read({{"part", &line.part, {}, "part = \"beam-15\""},
                 {"count", &line.count, within(1, 100'000), "count = 8"},
                 {"where", &line.where}});
    if (line.part.empty() || parts.prices.contains(line.part)) continue;
    find_part(fields, parts, {line.part, fields.find("part")->place}, part_kinds(), "");
  }
}

void read_keepouts(const Fields& root, Model& model) {
  read_list(root, {"keepout", "keepout box", "name = \"engine\"", "keepout boxes"}, model.keepouts,
            [&](const Fields& fields, Keepout& box) {
              fields.read({{"name"},
                           at_key(box.at_mm, model.module_mm),
                           {"size", &box.size_mm, not_negative("modules") * model.module_mm, "size = [8, 7, 6]"}});
            });
}

void read_full_size(const Fields& root, Model& model) {
  const auto full_size = root.section("full_size");
  if (!full_size) return;
  full_size->read({{"wheel_diameter_mm", &model.full_size_wheel_mm, above_zero("mm")}, {"length"}});
  read_list(*full_size, {"length", "full-size length", "name = \"wheelbase\"", "full-size lengths"},
            model.original_lengths, [](const Fields& fields, OriginalLength& length) {
              fields.read({{"name"},
                           {"model_mm", &length.model_mm, above_zero("mm"), "model_mm = 288"},
                           {"original_mm", &length.original_mm, above_zero("mm"), "original_mm = 5150"}});
            });
}

/// A key of a number that has a usual value.
struct AssumableKey {
  std::string_view name;
  Assumable* into;
  NumberRule rule;
};

/// Reads them, and the keys beside them.
void read_assumable(const Fields& fields, const std::vector<AssumableKey>& numbers, std::vector<KnownKey> others = {}) {
  for (const AssumableKey& key : numbers) others.push_back({key.name, &key.into->value, key.rule});
  fields.read(others);
  for (const AssumableKey& key : numbers) key.into->given = fields.find(key.name) != nullptr;
}

void read_friction(const Fields& root, Friction& friction) {
  if (const auto fields = root.section("friction"))
    read_assumable(*fields,
                   {{"pin_mu", &friction.pin_mu, not_negative("")},
                    {"pin_radius_mm", &friction.pin_radius_mm, not_negative("mm")}},
                   {{"tyre_mu", &friction.tyre_mu, not_negative("")}});
}

void read_spread(const Fields& root, PartSpread& spread) {
  const auto fields = root.section("spread");
  if (!fields) return;
  spread.given = true;
  constexpr double most_percent = 50, most_mm = 10;  // parts that scatter more are no parts of one kind
  read_assumable(*fields, {{"coil_rate_percent", &spread.coil_rate_percent, within(0, most_percent, "%")},
                           {"coil_length_mm", &spread.coil_length_mm, within(0, most_mm, "mm")},
                           {"batch_percent", &spread.batch_percent, within(0, most_percent, "%")},
                           {"mass_percent", &spread.mass_percent, within(0, most_percent, "%")},
                           {"pin_play_mm", &spread.pin_play_mm, within(0, most_mm, "mm")},
                           {"tyre_rate_percent", &spread.tyre_rate_percent, within(0, most_percent, "%")}});
}

}  // namespace

void read_vehicle(const Fields& root, const PartsAndUnits& parts, VehicleDraft& draft) {
  Model& model = draft.model;
  read_masses(root, model);
  read_weighed(root, draft);
  read_clearances(root, model);
  read_measured(root, draft);
  read_bars(root, draft);
  read_bill(root, parts, model);
  read_keepouts(root, model);
  read_full_size(root, model);
  constexpr double widest_modules = 30;  // wider than any vehicle of these modules
  if (const auto build = root.section("build"))
    build->read({{"width", &model.build_width, within(1, widest_modules, "modules")}});
  read_friction(root, model.friction);
  read_spread(root, model.spread);
}

}  // namespace ridepitch
