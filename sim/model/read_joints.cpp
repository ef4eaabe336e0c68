// What joins the bodies of a linkage: pins, rods, limits.

#include <algorithm>
#include <map>
#include <set>

#include <fmt/core.h>

#include "model/linkage_draft.hpp"

namespace ridepitch {
namespace {

/// Which holes lie on each other because pins join them, over all pins read so far.
class JoinedHoles {
 public:
  /// Groups of holes; a hole that no pin joins is a group of its own.
  std::set<std::pair<int, int>> group(HoleRef hole) const {
    const auto found = group_of.find({hole.body, hole.hole});
    if (found == group_of.end()) return {{hole.body, hole.hole}};
    return groups.at(found->second);
  }

  void join(const std::set<std::pair<int, int>>& holes) {
    const int number = next++;
    groups[number] = holes;
    for (const auto& hole : holes) group_of[hole] = number;
  }

 private:
  std::map<std::pair<int, int>, int> group_of;
  std::map<int, std::set<std::pair<int, int>>> groups;
  int next = 0;
};

/// Adds a hole to those that a pin joins, or says why it can't be joined with them.
void join_hole(const Fields& fields, const LinkageDraft& draft, HoleRef hole, Place place, const JoinedHoles& joined,
               std::set<std::pair<int, int>>& on_pin) {
  const std::string name = in_quotes(hole_name(draft.linkage, hole));
  if (on_pin.contains({hole.body, hole.hole})) {
    fields.problem(place, "joined-twice", fmt::format("{} joins {} to what it is joined to already", fields.what, name),
                   "name each hole once");
    return;
  }
  const auto group = joined.group(hole);
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

void read_pin(Reading& reading, const ListedTable& listed, JoinedHoles& joined, LinkageDraft& draft) {
  Fields fields{reading, *listed.table, listed.place, "this pin"};
  Pin pin;
  pin.place = listed.place;
  const char* const example = "join = [\"chassis.arm\", \"arm.root\"]";
  const TomlEntry *entry = fields.need("join", example), *own_name = fields.find("name");
  const auto names = fields.words(entry, example);
  if (names) pin.name = names->front().text;
  if (const auto name = fields.text(own_name)) {
    check_name(reading, own_name->place, *name, "a pin");
    pin.name = *name;
  }
  if (!pin.name.empty()) fields.what = "pin " + in_quotes(pin.name);
  fields.refuse_unknown({"join", "name"});
  if (names && names->size() < 2) {
    fields.problem(entry->place, "wrong-type", fmt::format("{} must join two holes or more", fields.what));
  }
  std::set<std::pair<int, int>> on_pin;
  for (const Fields::Word& name : names.value_or(std::vector<Fields::Word>{})) {
    const auto hole = find_hole(reading, draft, name.text, name.place, fields.what);
    if (!hole) continue;
    join_hole(fields, draft, *hole, name.place, joined, on_pin);
    pin.holes.push_back(*hole);
  }
  joined.join(on_pin);
  if (!pin.name.empty() && index_of(draft.linkage.pins, pin.name) >= 0) {
    reading.problem(listed.place, "duplicate-name", fmt::format("there are two pins named {}", in_quotes(pin.name)),
                    "give one of them a 'name' of its own");
  }
  draft.linkage.pins.push_back(std::move(pin));
}

/// `height` of a tie rod's ends [mm].
std::optional<std::array<double, 2>> read_height(const Fields& fields, double module_mm, const LinkageDraft& draft,
                                                 const std::optional<std::array<HoleRef, 2>>& ends) {
  const TomlEntry* entry = fields.find("height");
  const auto heights = fields.numbers(entry, 2, "[from, to]", any_number("modules"));
  if (!entry) return std::nullopt;
  const auto carries_wheel = [&](HoleRef end) {
    return std::any_of(draft.linkage.wheels.begin(), draft.linkage.wheels.end(),
                       [&](const Wheel& wheel) { return wheel.at.body == end.body && end.body != chassis; });
  };
  if (draft.linkage.plane != Plane::top || (ends && !carries_wheel((*ends)[0]) && !carries_wheel((*ends)[1]))) {
    fields.problem(entry->place, "foreign-key",
                   fmt::format("{} has a 'height', but is not a tie rod of a top linkage", fields.what),
                   "a tie rod has an end on a body that carries a steered wheel");
  }
  if (!heights) return std::nullopt;
  return std::array<double, 2>{(*heights)[0] * module_mm, (*heights)[1] * module_mm};
}

void read_rod(Reading& reading, const PartsAndUnits& parts, const NamedTable& named, LinkageDraft& draft) {
  const Fields fields{reading, *named.table, named.place, "rod " + in_quotes(named.name)};
  check_name(reading, named.place, named.name, "a rod");
  fields.refuse_unknown({"from", "to", "length", "across", "height", "part", "layer"});
  Rod rod;
  rod.name = named.name;
  rod.place = rod.length_place = named.place;
  const auto ends = read_ends(fields, draft, "ties");
  if (ends) rod.from = (*ends)[0], rod.to = (*ends)[1];
  const TomlEntry* entry = fields.need("length", "length = 6   (modules, hole centre to hole centre)");
  if (entry) rod.length_place = entry->place;
  const auto length = fields.number(entry, above_zero("modules"));
  if (length) rod.length_mm = *length * parts.module_mm;
  rod.across_mm = read_across(fields, parts.module_mm, length ? std::optional(rod.length_mm) : std::nullopt);
  rod.height_mm = read_height(fields, parts.module_mm, draft, ends);
  rod.part = read_piece_name(fields, parts);
  rod.layer = read_layer(fields);
  draft.linkage.rods.push_back(std::move(rod));
}

void read_limit(Reading& reading, double module_mm, const NamedTable& named, LinkageDraft& draft) {
  const Fields fields{reading, *named.table, named.place, "limit " + in_quotes(named.name)};
  check_name(reading, named.place, named.name, "a limit");
  fields.refuse_unknown({"from", "to", "min", "max", "across"});
  Limit limit;
  limit.name = named.name;
  limit.place = named.place;
  const auto ends = read_ends(fields, draft, "ties");
  if (ends) limit.from = (*ends)[0], limit.to = (*ends)[1];
  if (!fields.find("min") && !fields.find("max")) {
    fields.problem(named.place, "missing-key", fmt::format("{} has neither 'min' nor 'max'", fields.what),
                   "add: max = 18   (modules)");
  }
  const auto min = fields.number(fields.find("min"), not_negative("modules"));
  const auto max = fields.number(fields.find("max"), not_negative("modules"));
  if (min && max && *min > *max) {
    fields.problem(fields.find("max")->place, "range",
                   fmt::format("{} has min {} modules above max {} modules", fields.what, *min, *max),
                   "exchange them, or leave one of them out");
  }
  if (min) limit.min_mm = *min * module_mm;
  if (max) limit.max_mm = *max * module_mm;
  limit.across_mm = read_across(fields, module_mm, limit.max_mm);
  draft.linkage.limits.push_back(std::move(limit));
}

}  // namespace

void read_pins(Reading& reading, const TomlEntry* entry, LinkageDraft& draft) {
  JoinedHoles joined;
  for (const ListedTable& listed : listed_tables(reading, entry, most_joints)) read_pin(reading, listed, joined, draft);
}

void read_rods(Reading& reading, const PartsAndUnits& parts, const TomlEntry* entry, LinkageDraft& draft) {
  for (const NamedTable& named : named_tables(reading, entry, "[linkage.arm.rod.pushrod]", most_joints)) {
    read_rod(reading, parts, named, draft);
  }
}

void read_limits(Reading& reading, double module_mm, const TomlEntry* entry, LinkageDraft& draft) {
  for (const NamedTable& named : named_tables(reading, entry, "[linkage.arm.limit.strap]", most_joints)) {
    read_limit(reading, module_mm, named, draft);
  }
}

}  // namespace ridepitch
