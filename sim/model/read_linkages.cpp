#include "model/read_linkages.hpp"

#include <fmt/core.h>

#include "model/read_parts.hpp"
#include "model/units.hpp"

namespace ridepitch {
namespace {

Plane read_plane(const Fields& fields) {
  const TomlEntry* entry = fields.need("plane", "plane = \"side\"   (or \"front\", or \"top\")");
  const auto name = fields.text(entry);
  if (!name || *name == "side") return Plane::side;
  if (*name == "front") return Plane::front;
  if (*name == "top") return Plane::top;
  fields.problem(entry->place, "unknown-name", fmt::format("{} is not a plane", in_quotes(*name)),
                 fields.reading.suggest(*name, {"side", "front", "top"}, "planes"));
  return Plane::side;
}

/// The first key of a tyre that a wheel has itself.
const TomlEntry* key_in_place(const Fields& fields) {
  for (const std::string_view key : tyre_keys()) {
    if (const TomlEntry* entry = fields.find(key)) return entry;
  }
  return nullptr;
}

/// A tyre of the catalogue, or its keys written in place of `part`.
void read_wheel_part(const Fields& fields, const PartsAndUnits& parts, Wheel& wheel) {
  const TomlEntry* in_place = key_in_place(fields);
  if (in_place && !fields.find("part")) {
    wheel.tyre = read_tyre(fields);
    return;
  }
  if (in_place) {
    fields.problem(in_place->place, "part-and-keys",
                   fmt::format("{} has a 'part', and '{}' beside it", fields.what, in_place->key),
                   "name a part, or write all keys of the tyre in its place");
  }
  const TomlEntry* entry = fields.need("part", "part = \"tyre-70\"");
  const auto name = fields.text(entry);
  if (!name) return;
  wheel.part = *name;
  const Part* part = find_part(fields, parts, *entry, *name, {"tyre"});
  if (!part) return;
  if (const auto* tyre = std::get_if<Tyre>(&part->data)) {
    wheel.tyre = *tyre;
  } else if (!kind_of(*part).empty()) {
    fields.problem(entry->place, "wrong-kind",
                   fmt::format("{} is {}, which is a {}", fields.subject(*entry), in_quotes(*name), kind_of(*part)),
                   "a wheel's part is a tyre");
  }
}

/// What only a steered wheel has.
void read_steered(const Fields& fields, Plane plane, Wheel& wheel) {
  const TomlEntry* ahead =
      plane == Plane::top ? fields.need("ahead", "ahead = [1, 0]   (the rolling direction)") : fields.find("ahead");
  if (const auto direction = fields.vec2(ahead, "")) {
    if (direction->norm() == 0) {
      fields.problem(ahead->place, "out-of-range",
                     fmt::format("{} is [0, 0], which is no direction", fields.subject(*ahead)),
                     "[1, 0] is along u, [0, 1] along v");
    }
    wheel.ahead = direction->stableNormalized();
  }
  const TomlEntry *same_as = fields.find("same_as"), *king = fields.find("king_deg");
  wheel.same_as = fields.text(same_as).value_or("");
  const NumberRule less_than_square{"degrees", -89, false, 89};
  if (const auto angles = fields.numbers(king, 2, "[caster, inclination]", less_than_square)) {
    wheel.king_rad = {(*angles)[0] * rad_per_deg, (*angles)[1] * rad_per_deg};
  }
  for (const TomlEntry* entry : {same_as, king}) {
    if (!entry || plane == Plane::top) continue;
    fields.problem(entry->place, "foreign-key",
                   fmt::format("{} has '{}', but is not in a top linkage", fields.what, entry->key),
                   "only a wheel of a top linkage is steered");
  }
}

void read_wheel(Reading& reading, const PartsAndUnits& parts, const NamedTable& named, LinkageDraft& draft) {
  const Fields fields{reading, *named.table, named.place, "wheel " + in_quotes(named.name)};
  check_name(reading, named.place, named.name, "a wheel", '/');
  std::vector<std::string_view> known = {"at", "part", "ahead", "same_as", "king_deg"};
  known.insert(known.end(), tyre_keys().begin(), tyre_keys().end());
  fields.refuse_unknown(known);
  Wheel wheel;
  wheel.name = named.name;
  wheel.place = named.place;
  wheel.at = find_hole(fields, draft, fields.need("at", "at = \"arm.axle\"")).value_or(HoleRef{});
  read_wheel_part(fields, parts, wheel);
  read_steered(fields, draft.linkage.plane, wheel);
  draft.linkage.wheels.push_back(std::move(wheel));
}

Linkage read_linkage(Reading& reading, const PartsAndUnits& parts, const NamedTable& named) {
  const Fields fields{reading, *named.table, named.place, "linkage " + in_quotes(named.name)};
  check_name(reading, named.place, named.name, "a linkage");
  fields.refuse_unknown({"plane", "body", "pin", "rod", "spring", "limit", "slide", "drive", "wheel"});
  LinkageDraft draft;
  draft.linkage.name = named.name;
  draft.linkage.place = named.place;
  draft.linkage.plane = read_plane(fields);
  const TomlEntry* bodies = fields.need(
      "body", fmt::format("[linkage.{}.body] with chassis = {{ holes = {{ ... }} }}", short_name(named.name)));
  read_bodies(reading, parts, bodies, draft);
  read_pins(reading, fields.find("pin"), draft);
  read_wheels(reading, parts, fields.find("wheel"), draft);
  read_rods(reading, parts, fields.find("rod"), draft);
  read_springs(reading, parts, fields.find("spring"), draft);
  read_limits(reading, parts.module_mm, fields.find("limit"), draft);
  read_slides(reading, parts.module_mm, fields.find("slide"), draft);
  read_drive(reading, parts.module_mm, fields.find("drive"), fields.find("slide"), draft);
  return std::move(draft.linkage);
}

}  // namespace

void read_wheels(Reading& reading, const PartsAndUnits& parts, const TomlEntry* entry, LinkageDraft& draft) {
  for (const NamedTable& named : named_tables(reading, entry, "[linkage.arm.wheel.hub]", most_joints)) {
    read_wheel(reading, parts, named, draft);
  }
}

std::vector<Linkage> read_linkages(Reading& reading, const PartsAndUnits& parts, const TomlEntry* entry) {
  std::vector<Linkage> linkages;
  for (const NamedTable& named : named_tables(reading, entry, "[linkage.arm]", most_linkages)) {
    linkages.push_back(read_linkage(reading, parts, named));
  }
  if (!linkages.empty()) check_followers(reading, std::get<TomlTable>(entry->value.data), linkages);
  return linkages;
}

}  // namespace ridepitch
