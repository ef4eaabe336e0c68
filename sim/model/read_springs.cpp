// The springs of a linkage: catalogue springs, springs written in place, and springs that turn.

#include <algorithm>

#include <fmt/core.h>

#include "model/linkage_draft.hpp"
#include "model/read_parts.hpp"
#include "model/units.hpp"

namespace ridepitch {
namespace {

std::vector<KnownKey> keys_of(Torsion& torsion) {
  return {{"between"},
          {"rate_n_mm_per_deg", &torsion.rate_n_mm_per_rad, not_negative("N mm/degree") * deg_per_rad,
           "rate_n_mm_per_deg = 12"},
          {"free_deg", &torsion.free_rad, any_number("degrees") * rad_per_deg, "free_deg = 0"},
          {"min_deg"},
          {"max_deg"}};
}

/// What a coil or band has besides the keys of its part.
std::vector<KnownKey> line_keys(Spring& spring) {
  return {{"from"}, {"to"}, {"count", &spring.count, up_to_1000}, {"across"}, {"layer", &spring.layer, layers}};
}

/// All that describes a spring in place of a `part`: a band's keys are among a coil's.
std::vector<KnownKey> keys_in_place() {
  Coil coil;
  Torsion torsion;
  return unread(all_keys({{{"kind"}}, keys_of(coil), keys_of(torsion)}));
}

/// Whose key it is among everything a spring can have.
std::string_view spring_key_owner(std::string_view key) {
  Torsion torsion;
  Spring line;
  if (has_key(keys_of(torsion), key)) return "a torsion spring";
  if (has_key(line_keys(line), key)) return "a coil or band";
  return key == "length" || key == "teeth" ? std::string_view() : part_key_owner(key);
}

/// A spring of the catalogue: nothing of it may be written beside `part`.
void read_catalogue_spring(const Fields& fields, const PartsAndUnits& parts, Spring& spring) {
  const std::vector<KnownKey> in_place = keys_in_place();
  const auto& entries = fields.table.entries;
  const auto beside = std::find_if(entries.begin(), entries.end(),
                                   [&](const TomlEntry& entry) { return has_key(in_place, entry.key); });
  if (beside != entries.end()) {
    fields.problem(beside->place, "part-and-keys",
                   fmt::format("{} has a 'part', and '{}' beside it", fields.what, beside->key),
                   "name a part, or write all keys of the spring in its place");
  }
  fields.read(all_keys({{{"part"}}, line_keys(spring), in_place}));
  const TomlEntry* entry = fields.find("part");
  const auto name = fields.text(entry);
  if (!name) return;
  const Part* part =
      find_part(fields, parts, {*name, entry->place}, spring_kinds(), "a spring's part is a coil or a band");
  if (part) set_part(spring, *part);
}

void read_torsion(const Fields& fields, const LinkageDraft& draft, Spring& spring) {
  auto& torsion = spring.data.emplace<Torsion>();
  const char* const example = "between = [\"chassis\", \"arm\"]";
  const TomlEntry* entry = fields.need("between", example);
  const std::vector<KnownKey> others = {
      {"kind"}, {"count", &spring.count, up_to_1000}, {"layer", &spring.layer, layers}};
  fields.read(all_keys({others, keys_of(torsion)}), spring_key_owner);
  if (const auto names = read_two_bodies(fields, entry, example)) {
    const auto body = [&](const Fields::Word& name) {
      return find_named(fields.reading, draft.linkage.bodies, name.text, name.place,
                        draft.bodies_known ? fmt::format("{} names {}, but linkage {} has no such body", fields.what,
                                                         in_quotes(name.text), in_quotes(draft.linkage.name))
                                           : "",
                        "bodies");
    };
    const auto from = body((*names)[0]), to = body((*names)[1]);
    torsion.from = from.value_or(0);
    torsion.to = to.value_or(0);
    if (from && from == to) {
      fields.problem((*names)[1].place, "same-body",
                     fmt::format("{} acts between body {} and itself", fields.what, in_quotes((*names)[1].text)));
    }
  }
  const auto [min_deg, max_deg] = fields.least_and_most("min_deg", "max_deg", any_number("degrees"));
  if (min_deg) torsion.min_rad = *min_deg * rad_per_deg;
  if (max_deg) torsion.max_rad = *max_deg * rad_per_deg;
}

/// Neither part nor a known kind: what the other keys are can't be said.
void refuse_kind(const Fields& fields, const TomlEntry* entry, const std::optional<std::string>& kind) {
  if (!entry) {
    fields.problem(fields.name_place, "missing-key", fmt::format("{} has neither 'part' nor 'kind'", fields.what),
                   "add: part = \"coil-7-firm\", or kind = \"coil\" with a coil's keys");
  }
  Spring line;
  fields.read(unread(all_keys({{{"part"}}, line_keys(line), keys_in_place()})));
  if (!kind) return;
  fields.problem(entry->place, holds(part_kinds(), *kind) ? "wrong-kind" : "unknown-name",
                 fmt::format("{} is of kind {}, which is not a spring", fields.what, in_quotes(*kind)),
                 fields.reading.suggest(*kind, {"coil", "band", "torsion"}, "kinds of spring"));
}

void read_spring(const Fields& fields, const LinkageDraft& draft, Spring& spring) {
  const TomlEntry* kind_entry = fields.find("kind");
  const bool has_part = fields.find("part") != nullptr;
  const auto kind = has_part ? std::nullopt : fields.text(kind_entry);
  const std::vector<KnownKey> others = all_keys({{{"kind"}}, line_keys(spring)});
  if (has_part) {
    read_catalogue_spring(fields, draft.parts, spring);
  } else if (kind == "coil") {
    read_part(fields, spring.data.emplace<Coil>(), others, spring_key_owner);
  } else if (kind == "band") {
    read_part(fields, spring.data.emplace<Band>(), others, spring_key_owner);
  } else if (kind == "torsion") {
    read_torsion(fields, draft, spring);
    return;
  } else {
    refuse_kind(fields, kind_entry, kind);
  }
  const auto ends = read_ends(fields, draft, "acts between");
  if (ends) spring.from = (*ends)[0], spring.to = (*ends)[1];
  spring.across_mm = read_across(fields, draft.parts.module_mm, longest_mm(spring.data));
}

}  // namespace

void read_springs(const Fields& linkage, LinkageDraft& draft) {
  read_named(linkage, "spring", "[linkage.arm.spring.main]", draft.linkage.springs,
             [&](const Fields& fields, Spring& spring) { read_spring(fields, draft, spring); });
}

}  // namespace ridepitch
