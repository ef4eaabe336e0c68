// The bodies of a linkage: their holes, where holes roughly sit, and their outline.

#include <algorithm>

#include <fmt/core.h>

#include "model/linkage_draft.hpp"

namespace ridepitch {
namespace {

/// `holes`: named points of the body's own grid.
///
/// @returns whether the names of all holes are known
bool read_holes(const Fields& fields, double module_mm, Body& body) {
  const TomlEntry* entry = fields.need("holes", "holes = { root = [0, 0], axle = [8, 0] }");
  const auto* holes = entry ? std::get_if<TomlTable>(&entry->value.data) : nullptr;
  if (!holes) {
    if (entry) {
      fields.problem(entry->place, "wrong-type",
                     fmt::format("{} must be a table, but is {}", fields.subject(*entry), described(entry->value)),
                     "write it as: holes = { root = [0, 0], axle = [8, 0] }");
    }
    return false;
  }
  bool all_named = true;
  for (const TomlEntry& hole : holes->entries) {
    if (body.holes.size() == most_holes) {
      fields.problem(hole.place, "too-many", fmt::format("{} has over {} holes", fields.what, most_holes));
      return false;
    }
    all_named = check_name(fields.reading, hole.place, hole.key, "a hole", '.') && all_named;
    const std::string subject = fmt::format("hole {} of {}", in_quotes(hole.key), fields.what);
    const auto at = numbers_value(fields.reading, hole.value, hole.place, subject, 2, "[u, v]", any_number("modules"));
    const Vec2 p_modules = at ? Vec2((*at)[0], (*at)[1]) : Vec2::Zero();
    body.holes.push_back({hole.key, p_modules * module_mm, hole.place});
  }
  return all_named;
}

/// `near`: hints that choose between the ways a linkage goes together.
void read_near(const Fields& fields, double module_mm, bool holes_known, Body& body) {
  const TomlEntry* entry = fields.find("near");
  if (!entry) return;
  if (body.name == "chassis") {
    fields.problem(entry->place, "near", "the chassis takes no 'near' hints",
                   "it is fixed: its holes are where they are");
    return;
  }
  const auto* hints = std::get_if<TomlTable>(&entry->value.data);
  if (!hints) {
    fields.problem(entry->place, "wrong-type",
                   fmt::format("{} must be a table, but is {}", fields.subject(*entry), described(entry->value)),
                   "write it as: near = { axle = [8, 0] }");
    return;
  }
  for (const TomlEntry& hint : hints->entries) {
    const std::string subject = fmt::format("hint {} of {}", in_quotes(hint.key), fields.what);
    const auto at = numbers_value(fields.reading, hint.value, hint.place, subject, 2, "[u, v]", any_number("modules"));
    const int hole = index_of(body.holes, hint.key);
    if (hole < 0 && holes_known) {
      fields.problem(hint.place, "unknown-name",
                     fmt::format("'near' of {} names {}, which is not a hole of it", fields.what, in_quotes(hint.key)),
                     fields.reading.suggest(hint.key, names_of(body.holes), "holes"));
    }
    if (hole >= 0 && at) body.near.push_back({hole, Vec2((*at)[0], (*at)[1]) * module_mm, hint.place});
  }
}

/// One chain of holes that a beam runs through.
std::vector<int> read_chain(const Fields& fields, const TomlArray& names, bool holes_known, const Body& body) {
  std::vector<int> chain;
  for (const TomlValue& value : names) {
    const auto* name = std::get_if<std::string>(&value.data);
    const int hole = name ? index_of(body.holes, *name) : -1;
    if (hole >= 0) {
      chain.push_back(hole);
    } else if (!name) {
      fields.problem(value.place, "wrong-type",
                     fmt::format("'shape' of {} must be a list of holes, but holds {}", fields.what, described(value)),
                     "write it as: shape = [\"root\", \"axle\"], or a list of such lists");
    } else if (holes_known) {
      fields.problem(value.place, "unknown-name",
                     fmt::format("'shape' of {} names {}, which is not a hole of it", fields.what, in_quotes(*name)),
                     fields.reading.suggest(*name, names_of(body.holes), "holes"));
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

void read_body(Reading& reading, const PartsAndUnits& parts, const NamedTable& named, LinkageDraft& draft) {
  const bool is_chassis = named.name == "chassis";
  const Fields fields{reading, *named.table, named.place, is_chassis ? "the chassis" : "body " + in_quotes(named.name)};
  if (!check_name(reading, named.place, named.name, "a body", '.')) draft.bodies_known = false;
  fields.refuse_unknown({"holes", "near", "part", "layer", "shape"});
  Body body;
  body.name = named.name;
  body.place = named.place;
  const bool holes_known = read_holes(fields, parts.module_mm, body);
  read_near(fields, parts.module_mm, holes_known, body);
  read_shape(fields, holes_known, body);
  body.part = read_piece_name(fields, parts);
  body.layer = read_layer(fields);

  auto& bodies = draft.linkage.bodies;
  const std::size_t position = is_chassis ? 0 : bodies.size();
  bodies.insert(bodies.begin() + static_cast<std::ptrdiff_t>(position), std::move(body));
  draft.holes_known.insert(draft.holes_known.begin() + static_cast<std::ptrdiff_t>(position), holes_known);
}

}  // namespace

void read_bodies(Reading& reading, const PartsAndUnits& parts, const TomlEntry* entry, LinkageDraft& draft) {
  const int found_before = reading.found;
  const auto tables = named_tables(reading, entry, "arm = { holes = { root = [0, 0], axle = [8, 0] } }", most_bodies);
  const bool all_read = entry && reading.found == found_before;
  draft.bodies_known = all_read;
  for (const NamedTable& named : tables) read_body(reading, parts, named, draft);
  if (!all_read || index_of(draft.linkage.bodies, "chassis") >= 0) return;
  reading.problem(entry->value.place, "missing-key",
                  fmt::format("linkage {} has no body 'chassis'", in_quotes(draft.linkage.name)),
                  "add: chassis = { holes = { ... } }, the body that is fixed to the vehicle");
  draft.bodies_known = false;
}

}  // namespace ridepitch
