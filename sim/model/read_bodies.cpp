// The bodies of a linkage: their holes, where holes roughly sit, and their outline.

#include <algorithm>

#include <fmt/core.h>

#include "model/linkage_draft.hpp"
#include "model/units.hpp"

namespace ridepitch {
namespace {

/// The named points of `holes` or `near`; null if they are no table (reported).
const TomlTable* points_of(const Fields& fields, const TomlEntry* entry, const char* example) {
  if (!entry) return nullptr;
  const auto* points = std::get_if<TomlTable>(&entry->value.data);
  if (!points) {
    wrong_type(fields.reading, entry->place, fields.subject(*entry), "a table", entry->value,
               fmt::format("write it as: {}", example));
  }
  return points;
}

/// @param what  "hole", "hint"
std::optional<Vec2> read_point(const Fields& fields, const TomlEntry& point, std::string_view what, double module_mm) {
  const std::string subject = fmt::format("{} {} of {}", what, in_quotes(point.key), fields.what);
  const auto at =
      numbers_value(fields.reading, point.value, point.place, subject, 2, "[u, v]", any_number("modules") * module_mm);
  return at ? std::optional(Vec2(at->data())) : std::nullopt;
}

/// A hole of the body that one of its own keys names.
std::optional<int> find_own_hole(const Fields& fields, const Body& body, std::string_view name, Place place,
                                 bool holes_known, std::string_view key) {
  return find_named(
      fields.reading, body.holes, name, place,
      holes_known ? fmt::format("'{}' of {} names {}, which is not a hole of it", key, fields.what, in_quotes(name))
                  : "",
      "holes");
}

/// `holes`: named points of the body's own grid.
///
/// @returns whether the names of all holes are known
bool read_holes(const Fields& fields, const TomlEntry* entry, double module_mm, Body& body) {
  const TomlTable* holes = points_of(fields, entry, "holes = { root = [0, 0], axle = [8, 0] }");
  if (!holes) return false;
  bool all_named = true;
  for (const TomlEntry& hole : holes->entries) {
    if (body.holes.size() == most_holes) {
      fields.problem(hole.place, "too-many", fmt::format("{} has over {} holes", fields.what, most_holes));
      return false;
    }
    all_named = check_name(fields.reading, hole.place, hole.key, "a hole", '.') && all_named;
    const Vec2 p_B = read_point(fields, hole, "hole", module_mm).value_or(Vec2::Zero());
    body.holes.push_back({hole.key, p_B, hole.place});
  }
  return all_named;
}

/// `near`: hints that choose between the assemblies of a linkage.
void read_near(const Fields& fields, double module_mm, bool holes_known, Body& body) {
  const TomlEntry* entry = fields.find("near");
  if (entry && body.name == "chassis") {
    fields.problem(entry->place, "near", "the chassis takes no 'near' hints",
                   "it is fixed: its holes are where they are");
    return;
  }
  const TomlTable* hints = points_of(fields, entry, "near = { axle = [8, 0] }");
  for (const TomlEntry& hint : hints ? hints->entries : std::vector<TomlEntry>{}) {
    const auto p_C = read_point(fields, hint, "hint", module_mm);
    const auto hole = find_own_hole(fields, body, hint.key, hint.place, holes_known, "near");
    if (hole && p_C) body.near.push_back({*hole, *p_C, hint.place});
  }
}

/// One chain of holes that a beam runs through.
std::vector<int> read_chain(const Fields& fields, const TomlArray& names, bool holes_known, const Body& body) {
  std::vector<int> chain;
  for (const TomlValue& value : names) {
    const auto* name = std::get_if<std::string>(&value.data);
    if (!name) {
      fields.problem(value.place, "wrong-type",
                     fmt::format("'shape' of {} must be a list of holes, but holds {}", fields.what, described(value)),
                     "write it as: shape = [\"root\", \"axle\"], or a list of such lists");
    } else if (const auto hole = find_own_hole(fields, body, *name, value.place, holes_known, "shape")) {
      chain.push_back(*hole);
    }
  }
  return chain;
}

/// `shape`: a list of holes, or a list of such lists.
void read_shape(const Fields& fields, bool holes_known, Body& body) {
  const TomlArray* shape = fields.list(fields.find("shape"), "shape = [\"root\", \"axle\"]");
  if (!shape) return;
  const bool several = std::all_of(shape->begin(), shape->end(), [](const TomlValue& value) {
    return std::holds_alternative<TomlArray>(value.data);
  });
  if (!several) {
    body.shape.push_back(read_chain(fields, *shape, holes_known, body));
    return;
  }
  for (const TomlValue& chain : *shape) {
    const auto& names = std::get<TomlArray>(chain.data);
    if (names.empty())
      fields.problem(chain.place, "wrong-type", fmt::format("'shape' of {} holds an empty list", fields.what));
    body.shape.push_back(read_chain(fields, names, holes_known, body));
  }
}

/// `built`: the parts that a body is made of, and where each lies.
void read_built(const Fields& fields, const PartsAndUnits& parts, Body& body) {
  const TomlEntry* entry = fields.find("built");
  if (!entry) return;
  if (const TomlEntry* part = fields.find("part")) {
    fields.problem(part->place, "part-and-keys", fmt::format("{} has a 'part', and 'built' beside it", fields.what),
                   "'part' is for a body of one part; name that part in 'built' with the others");
    return;
  }
  for (Fields& each : fields.listed("built", most_parts_of_a_body)) {
    each.what = fmt::format("a part of {}", fields.what);
    PlacedPart placed;
    placed.place = each.name_place;
    double turn_deg = 0;
    each.read({{"part", &placed.part, {}, "part = \"beam-9\""},
               {"at", &placed.at_mm, any_number("modules") * parts.module_mm, "at = [-6, 0]"},
               {"turn", &turn_deg, any_number("degrees")},
               {"over", &placed.over}});
    placed.turn_rad = turn_deg * rad_per_deg;
    if (const TomlEntry* part = each.find("part"); part && !placed.part.empty() && !parts.prices.contains(placed.part))
      find_part(each, parts, {placed.part, part->place}, {"beam", "other"}, "a body is built of beams and other parts");
    body.built.push_back(std::move(placed));
  }
}

}  // namespace

void read_bodies(const Fields& linkage, LinkageDraft& draft) {
  const int found_before = linkage.reading.found;
  const TomlEntry* entry = linkage.find("body");
  auto tables = linkage.named("body", "arm = { holes = { root = [0, 0], axle = [8, 0] } }", most_bodies, '.');
  draft.bodies_known = entry && linkage.reading.found == found_before;
  auto& bodies = draft.linkage.bodies;
  const double module_mm = draft.parts.module_mm;
  for (Fields& fields : tables) {
    const bool is_chassis = fields.name == "chassis";
    if (is_chassis) fields.what = "the chassis";
    const std::ptrdiff_t position = is_chassis ? 0 : static_cast<std::ptrdiff_t>(bodies.size());
    Body& body = *bodies.emplace(bodies.begin() + position);
    body.name = fields.name;
    body.place = fields.name_place;
    const char* const example = "holes = { root = [0, 0], axle = [8, 0] }";
    fields.read({{"holes", {}, {}, example}, {"near"}, {"part"}, {"built"}, {"layer", &body.layer, layers}, {"shape"}});
    const bool holes_known = read_holes(fields, fields.find("holes"), module_mm, body);
    read_near(fields, module_mm, holes_known, body);
    read_shape(fields, holes_known, body);
    body.part = read_piece_name(fields, draft.parts);
    read_built(fields, draft.parts, body);
    draft.holes_known.insert(draft.holes_known.begin() + position, holes_known);
  }
  if (!draft.bodies_known || index_of(bodies, "chassis") >= 0) return;
  linkage.problem(entry->value.place, "missing-key",
                  fmt::format("linkage {} has no body 'chassis'", in_quotes(draft.linkage.name)),
                  "add: chassis = { holes = { ... } }, the body that is fixed to the vehicle");
  draft.bodies_known = false;
}

}  // namespace ridepitch
