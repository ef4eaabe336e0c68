#include "model/linkage_draft.hpp"

#include <algorithm>

#include <fmt/core.h>

#include "model/read_parts.hpp"

namespace ridepitch {
namespace {

const Body& body_at(const LinkageDraft& draft, int index) {
  return draft.linkage.bodies[static_cast<std::size_t>(index)];
}

}  // namespace

std::optional<int> find_body(Reading& reading, const LinkageDraft& draft, std::string_view name, Place place,
                             std::string_view subject) {
  const int body = index_of(draft.linkage.bodies, name);
  if (body >= 0) return body;
  if (draft.bodies_known) {
    reading.problem(place, "unknown-name",
                    fmt::format("{} names {}, but linkage {} has no such body", subject, in_quotes(name),
                                in_quotes(draft.linkage.name)),
                    reading.suggest(name, names_of(draft.linkage.bodies), "bodies"));
  }
  return std::nullopt;
}

std::optional<HoleRef> find_hole(Reading& reading, const LinkageDraft& draft, std::string_view name, Place place,
                                 std::string_view subject) {
  const std::size_t dot = name.find('.');
  if (dot == std::string_view::npos) {
    reading.problem(place, "bad-name", fmt::format("{} names {}, which is not a hole", subject, in_quotes(name)),
                    "a hole is written BODY.HOLE: \"arm.root\"");
    return std::nullopt;
  }
  const std::string_view body_name = name.substr(0, dot), hole_name = name.substr(dot + 1);
  const int body = index_of(draft.linkage.bodies, body_name);
  if (body < 0) {
    if (draft.bodies_known) {
      reading.problem(place, "unknown-name",
                      fmt::format("{} names {}, but linkage {} has no body {}", subject, in_quotes(name),
                                  in_quotes(draft.linkage.name), in_quotes(body_name)),
                      reading.suggest(body_name, names_of(draft.linkage.bodies), "bodies"));
    }
    return std::nullopt;
  }
  const int hole = index_of(body_at(draft, body).holes, hole_name);
  if (hole >= 0) return HoleRef{body, hole};
  if (draft.holes_known[static_cast<std::size_t>(body)]) {
    reading.problem(place, "unknown-name",
                    fmt::format("{} names {}, but body {} has no hole {}", subject, in_quotes(name),
                                in_quotes(body_name), in_quotes(hole_name)),
                    reading.suggest(hole_name, names_of(body_at(draft, body).holes), "holes"));
  }
  return std::nullopt;
}

std::optional<HoleRef> find_hole(const Fields& fields, const LinkageDraft& draft, const TomlEntry* entry) {
  const auto name = fields.text(entry);
  if (!name) return std::nullopt;
  return find_hole(fields.reading, draft, *name, entry->place, fields.subject(*entry));
}

std::optional<std::array<HoleRef, 2>> read_ends(const Fields& fields, const LinkageDraft& draft,
                                                std::string_view verb) {
  const auto from = find_hole(fields, draft, fields.need("from", "from = \"BODY.HOLE\""));
  const auto to = find_hole(fields, draft, fields.need("to", "to = \"BODY.HOLE\""));
  if (!from || !to) return std::nullopt;
  if (from->body == to->body) {
    fields.problem(fields.find("to")->place, "same-body",
                   fmt::format("{} {} two holes of one body, {} and {}", fields.what, verb,
                               in_quotes(hole_name(draft.linkage, *from)), in_quotes(hole_name(draft.linkage, *to))),
                   "its ends must be on different bodies");
    return std::nullopt;
  }
  return std::array<HoleRef, 2>{*from, *to};
}

double read_across(const Fields& fields, double module_mm, std::optional<double> less_than_mm) {
  const TomlEntry* entry = fields.find("across");
  const auto across = fields.number(entry, not_negative("modules"));
  if (!across) return 0;
  const double across_mm = *across * module_mm;
  if (less_than_mm && across_mm >= *less_than_mm) {
    fields.problem(entry->place, "out-of-range",
                   fmt::format("{} is {} modules ({} mm), but must be less than its length, {} mm",
                               fields.subject(*entry), *across, across_mm, *less_than_mm),
                   "the ends can't lie further apart across the plane than the part is long");
  }
  return across_mm;
}

const Part* find_part(const Fields& fields, const PartsAndUnits& parts, const TomlEntry& entry, const std::string& name,
                      const std::vector<std::string_view>& kinds) {
  const auto found = parts.catalogue.find(name);
  if (found != parts.catalogue.end()) return &found->second;
  if (!fields.reading.parts_missing) {
    std::vector<std::string> known = part_names(parts.catalogue, kinds);
    fields.problem(entry.place, "unknown-name",
                   fmt::format("{} is {}, but no catalogue has that part", fields.subject(entry), in_quotes(name)),
                   fields.reading.suggest(name, known, "parts that fit here"));
  }
  return nullptr;
}

std::string read_piece_name(const Fields& fields, const PartsAndUnits& parts) {
  const TomlEntry* entry = fields.find("part");
  const auto name = fields.text(entry);
  if (!name || parts.prices.contains(*name)) return name.value_or("");
  const std::vector<std::string_view> kinds = {"beam", "rod", "pin", "gear", "other"};
  const Part* part = find_part(fields, parts, *entry, *name, kinds);
  if (part && !std::holds_alternative<Piece>(part->data)) {
    fields.problem(entry->place, "wrong-kind",
                   fmt::format("{} is {}, which is a {}", fields.subject(*entry), in_quotes(*name), kind_of(*part)),
                   "a body or rod is a beam, rod, pin, gear or other part");
  }
  return *name;
}

std::optional<int> read_layer(const Fields& fields) {
  return fields.whole(fields.find("layer"), {"", -1000, false, 1000});
}

}  // namespace ridepitch
