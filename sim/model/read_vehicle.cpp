#include "model/read_vehicle.hpp"

#include <algorithm>

#include <fmt/core.h>

#include "model/units.hpp"

namespace ridepitch {
namespace {

constexpr std::size_t most_listed_tables = 1000;

/// Reads the `name` of a listed table and takes it into the words for the table.
std::string read_name(Fields& fields, std::string_view kind, const char* example) {
  const TomlEntry* entry = fields.need("name", example);
  const auto name = fields.text(entry);
  if (!name) return "";
  if (!name->empty()) fields.what = fmt::format("{} {}", kind, in_quotes(*name));
  check_name(fields.reading, entry->place, *name, fields.what);
  return *name;
}

/// Reports a name that the list has already.
template <typename Named>
void refuse_duplicate(const Fields& fields, const std::vector<Named>& list, const std::string& name,
                      std::string_view plural) {
  if (name.empty() || index_of(list, name) < 0) return;
  fields.problem(fields.name_place, "duplicate-name", fmt::format("there are two {} named {}", plural, in_quotes(name)),
                 "rename or remove one of the two");
}

Vec3 read_at(const Fields& fields, double module_mm) {
  return fields.vec3(fields.need("at", "at = [6, 0, 4]   (x, y, z in modules)"), any_number("modules"))
             .value_or(Vec3::Zero()) *
         module_mm;
}

void read_masses(const Fields& root, Model& model) {
  for (const ListedTable& listed : listed_tables(root.reading, root.find("mass"), most_listed_tables)) {
    Fields fields{root.reading, *listed.table, listed.place, "this [[mass]]"};
    Mass mass;
    mass.place = listed.place;
    mass.name = read_name(fields, "mass", "name = \"battery box\"");
    fields.refuse_unknown({"name", "grams", "at", "size"});
    mass.kg = fields.number(fields.need("grams", "grams = 240"), not_negative("g")).value_or(0) * kg_per_g;
    mass.at_mm = read_at(fields, model.module_mm);
    if (const auto size = fields.vec3(fields.find("size"), not_negative("modules")))
      mass.size_mm = *size * model.module_mm;
    model.masses.push_back(std::move(mass));
  }
}

void read_clearances(const Fields& root, Model& model) {
  for (const ListedTable& listed : listed_tables(root.reading, root.find("clearance"), most_listed_tables)) {
    Fields fields{root.reading, *listed.table, listed.place, "this [[clearance]]"};
    Clearance point;
    point.place = listed.place;
    point.name = read_name(fields, "clearance point", "name = \"belly\"");
    fields.refuse_unknown({"name", "at"});
    point.at_mm = read_at(fields, model.module_mm);
    refuse_duplicate(fields, model.clearances, point.name, "clearance points");
    model.clearances.push_back(std::move(point));
  }
}

void read_measured(const Fields& root, VehicleDraft& draft) {
  Model& model = draft.model;
  for (const ListedTable& listed : listed_tables(root.reading, root.find("measured"), most_listed_tables)) {
    Fields fields{root.reading, *listed.table, listed.place, "this [[measured]]"};
    fields.refuse_unknown({"of", "ride_height_mm", "within_mm"});
    Measured measured;
    measured.place = listed.place;
    const TomlEntry* of = fields.need("of", "of = \"rear left\"");
    const auto name = fields.text(of);
    const auto corner = name ? find_corner(root.reading, draft, *name, of->place, fields.subject(*of)) : std::nullopt;
    measured.ride_height_mm =
        fields.number(fields.need("ride_height_mm", "ride_height_mm = 39"), not_negative("mm")).value_or(0);
    measured.within_mm = fields.number(fields.find("within_mm"), not_negative("mm")).value_or(measured.within_mm);
    if (!corner) continue;
    measured.corner = *corner;
    if (std::any_of(model.measured.begin(), model.measured.end(),
                    [&](const Measured& m) { return m.corner == *corner; })) {
      fields.problem(listed.place, "duplicate-name", fmt::format("corner {} is measured twice", in_quotes(*name)),
                     "remove one of the two");
    }
    model.measured.push_back(measured);
  }
}

void read_bar_ends(const Fields& fields, const VehicleDraft& draft, Bar& bar) {
  const char* const example = "ends = [\"rear left/arm\", \"rear right/arm\"]";
  const TomlEntry* entry = fields.need("ends", example);
  const auto names = fields.words(entry, example);
  if (!names) return;
  if (names->size() != 2) {
    fields.problem(entry->place, "wrong-type",
                   fmt::format("{} must be two bodies, but is a list of {}", fields.subject(*entry), names->size()));
    return;
  }
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
    if (!stands_on_ground(draft.model, draft.model.corners[static_cast<std::size_t>(end->corner)])) {
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
  Model& model = draft.model;
  for (const ListedTable& listed : listed_tables(root.reading, root.find("bar"), most_listed_tables)) {
    Fields fields{root.reading, *listed.table, listed.place, "this [[bar]]"};
    Bar bar;
    bar.place = listed.place;
    bar.name = read_name(fields, "bar", "name = \"rear bar\"");
    fields.refuse_unknown({"name", "ends", "rate_n_mm_per_deg", "free_deg"});
    read_bar_ends(fields, draft, bar);
    const auto rate =
        fields.number(fields.need("rate_n_mm_per_deg", "rate_n_mm_per_deg = 12"), not_negative("N mm/degree"));
    bar.rate_n_mm_per_rad = rate.value_or(0) / rad_per_deg;
    bar.free_rad = fields.number(fields.find("free_deg"), any_number("degrees")).value_or(0) * rad_per_deg;
    refuse_duplicate(fields, model.bars, bar.name, "bars");
    if (model.bench) {
      fields.problem(listed.place, "bench",
                     fmt::format("{} can't work on the bench, where each linkage stands alone", fields.what),
                     "remove the bar, or the loads of the corners");
    }
    model.bars.push_back(std::move(bar));
  }
}

void read_bill(const Fields& root, const PartsAndUnits& parts, Model& model) {
  for (const ListedTable& listed : listed_tables(root.reading, root.find("bill"), most_listed_tables)) {
    const Fields fields{root.reading, *listed.table, listed.place, "this [[bill]]"};
    fields.refuse_unknown({"part", "count", "where"});
    BillLine line;
    line.place = listed.place;
    const TomlEntry* part = fields.need("part", "part = \"beam-15\"");
    line.part = fields.text(part).value_or("");
    if (!line.part.empty() && !parts.prices.contains(line.part)) {
      const std::vector<std::string_view> kinds = {"coil", "band", "tyre", "beam", "rod", "pin", "gear", "other"};
      find_part(fields, parts, *part, line.part, kinds);
    }
    line.count = fields.whole(fields.need("count", "count = 8"), {"", 1, false, 100'000}).value_or(1);
    line.where = fields.text(fields.find("where")).value_or("");
    model.bill.push_back(std::move(line));
  }
}

void read_keepouts(const Fields& root, Model& model) {
  for (const ListedTable& listed : listed_tables(root.reading, root.find("keepout"), most_listed_tables)) {
    Fields fields{root.reading, *listed.table, listed.place, "this [[keepout]]"};
    Keepout box;
    box.place = listed.place;
    box.name = read_name(fields, "keepout box", "name = \"engine\"");
    fields.refuse_unknown({"name", "at", "size"});
    box.at_mm = read_at(fields, model.module_mm);
    const auto size = fields.vec3(fields.need("size", "size = [8, 7, 6]"), not_negative("modules"));
    box.size_mm = size.value_or(Vec3::Zero()) * model.module_mm;
    refuse_duplicate(fields, model.keepouts, box.name, "keepout boxes");
    model.keepouts.push_back(std::move(box));
  }
}

void read_full_size(const Fields& root, Model& model) {
  const TomlEntry* entry = root.find("full_size");
  const TomlTable* table = single_table(root.reading, entry);
  if (!table) return;
  const Fields fields{root.reading, *table, entry->value.place, "[full_size]"};
  fields.refuse_unknown({"wheel_diameter_mm"});
  model.full_size_wheel_mm = fields.number(fields.find("wheel_diameter_mm"), above_zero("mm"));
}

void read_friction(const Fields& root, Model& model) {
  const TomlEntry* entry = root.find("friction");
  const TomlTable* table = single_table(root.reading, entry);
  if (!table) return;
  const Fields fields{root.reading, *table, entry->value.place, "[friction]"};
  fields.refuse_unknown({"pin_mu", "pin_radius_mm", "tyre_mu"});
  model.friction.pin_mu = fields.number(fields.find("pin_mu"), not_negative(""));
  model.friction.pin_radius_mm = fields.number(fields.find("pin_radius_mm"), not_negative("mm"));
  model.friction.tyre_mu = fields.number(fields.find("tyre_mu"), not_negative(""));
}

}  // namespace

void read_vehicle(const Fields& fields, const PartsAndUnits& parts, VehicleDraft& draft) {
  read_masses(fields, draft.model);
  read_weighed(fields, draft);
  read_clearances(fields, draft.model);
  read_measured(fields, draft);
  read_bars(fields, draft);
  read_bill(fields, parts, draft.model);
  read_keepouts(fields, draft.model);
  read_full_size(fields, draft.model);
  read_friction(fields, draft.model);
}

}  // namespace ridepitch
