#include "model/linkage_draft.hpp"

#include <fmt/core.h>

#include "model/read_parts.hpp"

namespace ridepitch {

std::optional<HoleRef> find_hole(Reading& reading, const LinkageDraft& draft, std::string_view name, Place place,
                                 std::string_view subject) {
  const std::size_t dot = name.find('.');
  if (dot == std::string_view::npos) {
    reading.problem(place, "bad-name", fmt::format("{} names {}, which is not a hole", subject, in_quotes(name)),
                    "a hole is written BODY.HOLE: \"arm.root\"");
    return std::nullopt;
  }
  const std::string_view body_name = name.substr(0, dot), hole_name = name.substr(dot + 1);
  const auto unknown = [&](bool names_known, const std::string& but) {
    return names_known ? fmt::format("{} names {}, but {}", subject, in_quotes(name), but) : "";
  };
  const auto& bodies = draft.linkage.bodies;
  const auto body =
      find_named(reading, bodies, body_name, place,
                 unknown(draft.bodies_known,
                         fmt::format("linkage {} has no body {}", in_quotes(draft.linkage.name), in_quotes(body_name))),
                 "bodies");
  if (!body) return std::nullopt;
  const auto hole =
      find_named(reading, at(bodies, *body).holes, hole_name, place,
                 unknown(draft.holes_known[static_cast<std::size_t>(*body)],
                         fmt::format("body {} has no hole {}", in_quotes(body_name), in_quotes(hole_name))),
                 "holes");
  return hole ? std::optional(HoleRef{*body, *hole}) : std::nullopt;
}

std::optional<HoleRef> find_hole(const Fields& fields, const LinkageDraft& draft, const TomlEntry* entry) {
  const auto name = fields.text(entry);
  if (!name) return std::nullopt;
  return find_hole(fields.reading, draft, *name, entry->place, fields.subject(*entry));
}

std::optional<std::array<HoleRef, 2>> read_ends(const Fields& fields, const LinkageDraft& draft,
                                                std::string_view verb) {
  const auto from = find_hole(fields, draft, fields.need("from", "from = \"BODY.HOLE\""));
  const TomlEntry* to_entry = fields.need("to", "to = \"BODY.HOLE\"");
  const auto to = find_hole(fields, draft, to_entry);
  if (!from || !to) return std::nullopt;
  if (from->body == to->body) {
    fields.problem(to_entry->place, "same-body",
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

std::optional<std::array<Fields::Word, 2>> read_two_bodies(const Fields& fields, const TomlEntry* entry,
                                                           std::string_view example) {
  const auto names = fields.words(entry, example);
  if (!names) return std::nullopt;
  if (names->size() == 2) return std::array{(*names)[0], (*names)[1]};
  fields.problem(entry->place, "wrong-type",
                 fmt::format("{} must be two bodies, but is a list of {}", fields.subject(*entry), names->size()));
  return std::nullopt;
}

const Part* find_part(const Fields& fields, const PartsAndUnits& parts, const Fields::Word& name,
                      const std::vector<std::string_view>& kinds, const char* fits, std::string says) {
  const std::string is = fmt::format("'part' of {} is", fields.what);
  const auto found = parts.catalogue.find(name.text);
  if (found == parts.catalogue.end()) {
    if (fields.reading.parts_missing) return nullptr;
    fields.problem(name.place, "unknown-name",
                   fmt::format("{} {}, but no catalogue has that part", is, in_quotes(name.text)),
                   fields.reading.suggest(name.text, part_names(parts.catalogue, kinds), "parts that fit here"));
    return nullptr;
  }
  const std::string_view kind = kind_of(found->second);
  if (holds(kinds, kind)) return &found->second;
  if (!kind.empty()) {
    fields.problem(name.place, "wrong-kind",
                   fmt::format("{} {}, which is a {}", says.empty() ? is : says, in_quotes(name.text), kind), fits);
  }
  return nullptr;
}

std::string read_piece_name(const Fields& fields, const PartsAndUnits& parts) {
  const TomlEntry* entry = fields.find("part");
  const auto name = fields.text(entry);
  if (!name) return "";
  if (!parts.prices.contains(*name)) {
    find_part(fields, parts, {*name, entry->place}, piece_kinds(),
              "a body or rod is a beam, rod, pin, gear or other part");
  }
  return *name;
}

}  // namespace ridepitch
