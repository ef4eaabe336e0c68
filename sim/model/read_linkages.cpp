// All linkages of a model file, and their wheels.

#include <algorithm>

#include <fmt/core.h>

#include "model/linkage_draft.hpp"
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

/// A tyre of the catalogue, or its keys written in place of `part`.
///
/// @param others  what else a wheel has
void read_tyre(const Fields& fields, const PartsAndUnits& parts, const std::vector<KnownKey>& others, Wheel& wheel) {
  const std::vector<KnownKey> tyre_keys = keys_of(wheel.tyre);
  const auto in_place = std::find_if(tyre_keys.begin(), tyre_keys.end(),
                                     [&](const KnownKey& key) { return fields.find(key.name) != nullptr; });
  if (in_place != tyre_keys.end() && !fields.find("part")) {
    read_part(fields, wheel.tyre, others);
    return;
  }
  if (in_place != tyre_keys.end()) {
    fields.problem(fields.find(in_place->name)->place, "part-and-keys",
                   fmt::format("{} has a 'part', and '{}' beside it", fields.what, in_place->name),
                   "name a part, or write all keys of the tyre in its place");
  }
  const TomlEntry* entry = fields.need("part", "part = \"tyre-70\"");
  fields.read(all_keys({others, unread(tyre_keys)}));
  const auto name = fields.text(entry);
  if (!name) return;
  wheel.part = *name;
  const Part* part = find_part(fields, parts, {*name, entry->place}, {"tyre"}, "a wheel's part is a tyre");
  if (part) wheel.tyre = std::get<Tyre>(part->data);
}

/// What only a steered wheel has.
void read_steered(const Fields& fields, Plane plane, Wheel& wheel) {
  const TomlEntry* ahead =
      plane == Plane::top ? fields.need("ahead", "ahead = [1, 0]   (the rolling direction)") : fields.find("ahead");
  wheel.ahead = fields.direction(ahead);
  const TomlEntry *same_as = fields.find("same_as"), *king = fields.find("king_deg");
  const NumberRule under_a_right_angle = within(-89, 89, "degrees") * rad_per_deg;
  if (const auto angles = fields.numbers(king, 2, "[caster, inclination]", under_a_right_angle)) {
    wheel.king_rad = {(*angles)[0], (*angles)[1]};
  }
  for (const TomlEntry* entry : {same_as, king}) {
    if (!entry || plane == Plane::top) continue;
    fields.problem(entry->place, "foreign-key",
                   fmt::format("{} has '{}', but is not in a top linkage", fields.what, entry->key),
                   "only a wheel of a top linkage is steered");
  }
}

/// What a driven wheel is turned by.
void read_shaft(const Fields& fields, const LinkageDraft& draft, Wheel& wheel) {
  const TomlEntry* entry = fields.find("shaft");
  if (!entry) return;
  if (!std::holds_alternative<TomlTable>(entry->value.data)) {
    wrong_type(fields.reading, entry->place, fields.subject(*entry), "a table", entry->value,
               "write it as: shaft = { from = [9, 2, 4], swing_deg = 30, slide_mm = 4 }");
    return;
  }
  auto own = fields.section("shaft");
  own->what = fmt::format("the shaft of {}", fields.what);
  if (draft.linkage.plane == Plane::top) {
    fields.problem(entry->place, "foreign-key", fmt::format("{} has a 'shaft', but is drawn from above", fields.what),
                   "the shaft belongs to the sprung wheel that it is the same as");
    return;
  }
  Shaft shaft;
  shaft.place = entry->place;
  own->read({{"from", &shaft.from_mm, any_number("modules") * draft.parts.module_mm, "from = [9, 2, 4]"},
             {"swing_deg", &shaft.swing_rad, swing_angle * rad_per_deg, "swing_deg = 30"},
             {"slide_mm", &shaft.slide_mm, not_negative("mm"), "slide_mm = 4"}});
  wheel.shaft = shaft;
}

Linkage read_linkage(const Fields& fields, const PartsAndUnits& parts) {
  fields.refuse_unknown({"plane", "body", "pin", "rod", "spring", "limit", "slide", "drive", "hand", "wheel"});
  LinkageDraft draft{parts};
  draft.linkage.name = fields.name;
  draft.linkage.place = fields.name_place;
  draft.linkage.plane = read_plane(fields);
  fields.need("body", fmt::format("[linkage.{}.body] with chassis = {{ holes = {{ ... }} }}", short_name(fields.name)));
  read_bodies(fields, draft);
  read_pins(fields, draft);
  read_wheels(fields, draft);
  read_rods(fields, draft);
  read_springs(fields, draft);
  read_limits(fields, draft);
  read_slides(fields, draft);
  read_drive(fields, draft);
  read_hands(fields, draft);
  return std::move(draft.linkage);
}

}  // namespace

void read_wheels(const Fields& linkage, LinkageDraft& draft) {
  const auto read_wheel = [&](const Fields& fields, Wheel& wheel) {
    wheel.at = find_hole(fields, draft, fields.need("at", "at = \"arm.axle\"")).value_or(HoleRef{});
    read_tyre(fields, draft.parts,
              {{"at"},
               {"part"},
               {"ahead"},
               {"same_as", &wheel.same_as},
               {"king_deg"},
               {"shaft"},
               {"out", &wheel.out_mm, any_number("modules") * draft.parts.module_mm}},
              wheel);
    if (const TomlEntry* out = fields.find("out"); out && draft.linkage.plane != Plane::side)
      fields.problem(out->place, "foreign-key",
                     fmt::format("{} has 'out', but its linkage lies in the {} plane", fields.what,
                                 draft.linkage.plane == Plane::top ? "top" : "front"),
                     "only a side linkage has its wheels beside it; elsewhere the hole says where the wheel is");
    read_steered(fields, draft.linkage.plane, wheel);
    read_shaft(fields, draft, wheel);
  };
  read_named(linkage, "wheel", "[linkage.arm.wheel.hub]", draft.linkage.wheels, read_wheel, '/');
}

std::vector<Linkage> read_linkages(const Fields& root, const PartsAndUnits& parts) {
  std::vector<Linkage> linkages;
  for (const Fields& fields : root.named("linkage", "[linkage.arm]", most_linkages)) {
    linkages.push_back(read_linkage(fields, parts));
  }
  check_followers(root, linkages);
  return linkages;
}

}  // namespace ridepitch
