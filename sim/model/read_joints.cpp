// What joins the bodies of a linkage: pins, rods, limits.

#include <algorithm>
#include <set>

#include <fmt/core.h>

#include "model/change.hpp"
#include "model/linkage_draft.hpp"
#include "model/units.hpp"

namespace ridepitch {
namespace {

using Holes = std::set<std::pair<int, int>>;  // body and hole

/// Holes that lie on each other because pins join them, over all pins read so far. A hole that no pin joins is a group of
/// its own.
using JoinedHoles = std::vector<Holes>;

Holes group_of(const JoinedHoles& joined, HoleRef hole) {
  const std::pair key(hole.body, hole.hole);
  const auto found =
      std::find_if(joined.begin(), joined.end(), [&](const Holes& group) { return group.contains(key); });
  return found == joined.end() ? Holes{key} : *found;
}

void join(JoinedHoles& joined, Holes holes) {
  std::erase_if(joined, [&](const Holes& group) { return holes.contains(*group.begin()); });
  if (!holes.empty()) joined.push_back(std::move(holes));
}

/// Adds a hole to those that a pin joins, or says why it can't be joined with them.
void join_hole(const Fields& fields, const LinkageDraft& draft, HoleRef hole, Place place, const JoinedHoles& joined,
               Holes& on_pin) {
  const std::string name = in_quotes(hole_name(draft.linkage, hole));
  if (on_pin.contains({hole.body, hole.hole})) {
    fields.problem(place, "joined-twice", fmt::format("{} joins {} to what it is joined to already", fields.what, name),
                   "name each hole once");
    return;
  }
  const Holes group = group_of(joined, hole);
  for (const auto& [body, other] : on_pin) {
    for (const auto& [group_body, group_hole] : group) {
      if (body != group_body) continue;
      const std::string first = in_quotes(hole_name(draft.linkage, {body, other}));
      const std::string second = in_quotes(hole_name(draft.linkage, {group_body, group_hole}));
      fields.problem(place, "same-body",
                     fmt::format("{} joins two holes of one body, {} and {}", fields.what, first, second),
                     "a pin joins holes of different bodies");
      return;
    }
  }
  on_pin.insert(group.begin(), group.end());
}

void read_pin(Fields& fields, JoinedHoles& joined, LinkageDraft& draft) {
  Pin pin;
  pin.place = fields.name_place;
  const char* const example = "join = [\"chassis.arm\", \"arm.root\"]";
  fields.what = "this pin";
  const TomlEntry *entry = fields.need("join", example), *own_name = fields.find("name");
  const auto names = fields.words(entry, example);
  if (names) pin.name = names->front().text;
  if (const auto name = fields.text(own_name)) {
    check_name(fields.reading, own_name->place, *name, "a pin");
    pin.name = *name;
  }
  if (!pin.name.empty()) fields.what = "pin " + in_quotes(pin.name);
  fields.refuse_unknown({"join", "name"});
  if (names && names->size() < 2) {
    fields.problem(entry->place, "wrong-type", fmt::format("{} must join two holes or more", fields.what));
  }
  Holes on_pin;
  for (const Fields::Word& name : names.value_or(std::vector<Fields::Word>{})) {
    const auto hole = find_hole(fields.reading, draft, name.text, name.place, fields.what);
    if (!hole) continue;
    join_hole(fields, draft, *hole, name.place, joined, on_pin);
    pin.holes.push_back(*hole);
  }
  join(joined, std::move(on_pin));
  if (!pin.name.empty() && index_of(draft.linkage.pins, pin.name) >= 0) {
    fields.problem(pin.place, "duplicate-name", fmt::format("there are two pins named {}", in_quotes(pin.name)),
                   "give one of them a 'name' of its own");
  }
  draft.linkage.pins.push_back(std::move(pin));
}

/// A `height` is for tie rods alone.
void check_height(const Fields& fields, const LinkageDraft& draft, const Rod& rod, bool ends_known) {
  const TomlEntry* entry = fields.find("height");
  if (!entry) return;
  if (draft.linkage.plane == Plane::top && (!ends_known || is_tie_rod(draft.linkage, rod))) return;
  fields.problem(entry->place, "foreign-key",
                 fmt::format("{} has a 'height', but is not a tie rod of a top linkage", fields.what),
                 "a tie rod has an end on a body that carries a steered wheel");
}

void read_rod(const Fields& fields, const LinkageDraft& draft, Rod& rod) {
  const double module_mm = draft.parts.module_mm;
  const auto ends = read_ends(fields, draft, "ties");
  if (ends) rod.from = (*ends)[0], rod.to = (*ends)[1];
  const char* const example = "length = 6   (modules, hole centre to hole centre)";
  const bool has_length = fields.read({{"from"},
                                       {"to"},
                                       {"length", &rod.length_mm, above_zero("modules") * module_mm, example},
                                       {"across"},
                                       {"height"},
                                       {"part"},
                                       {"layer", &rod.layer, layers},
                                       {"swing_deg", &rod.swing_rad, swing_angle * rad_per_deg}});
  const TomlEntry *length = fields.find("length"), *height = fields.find("height");
  rod.length_place = length ? length->place : rod.place;
  rod.across_mm = read_across(fields, module_mm, has_length ? std::optional(rod.length_mm) : std::nullopt);
  if (const auto heights = fields.numbers(height, 2, "[from, to]", any_number("modules") * module_mm)) {
    rod.height_mm = {(*heights)[0], (*heights)[1]};
  }
  check_height(fields, draft, rod, ends.has_value());
  rod.part = read_piece_name(fields, draft.parts);
}

void read_limit(const Fields& fields, const LinkageDraft& draft, Limit& limit) {
  fields.refuse_unknown({"from", "to", "min", "max", "across"});
  const auto ends = read_ends(fields, draft, "ties");
  if (ends) limit.from = (*ends)[0], limit.to = (*ends)[1];
  if (!fields.find("min") && !fields.find("max")) {
    fields.problem(fields.name_place, "missing-key", fmt::format("{} has neither 'min' nor 'max'", fields.what),
                   "add: max = 18   (modules)");
  }
  const auto [min, max] = fields.least_and_most("min", "max", not_negative("modules"), "modules",
                                                "exchange them, or leave one of them out");
  if (min) limit.min_mm = *min * draft.parts.module_mm;
  if (max) limit.max_mm = *max * draft.parts.module_mm;
  limit.across_mm = read_across(fields, draft.parts.module_mm, limit.max_mm);
}

}  // namespace

void read_pins(const Fields& linkage, LinkageDraft& draft) {
  JoinedHoles joined;
  for (Fields& fields : linkage.listed("pin", most_joints)) read_pin(fields, joined, draft);
}

void read_rods(const Fields& linkage, LinkageDraft& draft) {
  read_named(linkage, "rod", "[linkage.arm.rod.pushrod]", draft.linkage.rods,
             [&](const Fields& fields, Rod& rod) { read_rod(fields, draft, rod); });
}

void read_limits(const Fields& linkage, LinkageDraft& draft) {
  read_named(linkage, "limit", "[linkage.arm.limit.strap]", draft.linkage.limits,
             [&](const Fields& fields, Limit& limit) { read_limit(fields, draft, limit); });
}

}  // namespace ridepitch
