// The springs of a linkage: catalogue springs, springs written in place, and springs that turn.

#include <algorithm>

#include <fmt/core.h>

#include "model/linkage_draft.hpp"
#include "model/read_parts.hpp"
#include "model/units.hpp"

namespace ridepitch {
namespace {

const std::vector<std::string_view> torsion_keys = {"between", "rate_n_mm_per_deg", "free_deg", "min_deg", "max_deg"};

const std::vector<std::string_view> line_keys = {"from", "to", "count", "across", "layer"};

std::vector<std::string_view> joined(std::vector<std::string_view> first, const std::vector<std::string_view>& second) {
  first.insert(first.end(), second.begin(), second.end());
  return first;
}

/// Whose key it is among everything a spring can have.
std::string_view spring_key_owner(std::string_view key) {
  if (holds(torsion_keys, key)) return "a torsion spring";
  if (holds(line_keys, key)) return "a coil or band";
  const std::string_view owner = part_key_owner(key);
  return key == "length" || key == "teeth" ? std::string_view() : owner;
}

/// The free length of a coil, in which the ends can lie apart across the plane; a band may be longer.
std::optional<double> longest_across_mm(const Spring& spring) {
  const auto* coil = std::get_if<Coil>(&spring.data);
  return coil && coil->free_mm > 0 ? std::optional(coil->free_mm) : std::nullopt;
}

/// A spring of the catalogue: nothing of it may be written beside `part`.
void read_catalogue_spring(const Fields& fields, const PartsAndUnits& parts, Spring& spring) {
  const std::vector<std::string_view> in_place = joined(joined({"kind"}, coil_keys()), torsion_keys);
  for (const TomlEntry& entry : fields.table.entries) {
    if (!holds(in_place, entry.key)) continue;
    fields.problem(entry.place, "part-and-keys",
                   fmt::format("{} has a 'part', and '{}' beside it", fields.what, entry.key),
                   "name a part, or write all keys of the spring in its place");
    break;
  }
  fields.refuse_unknown(joined(joined({"part"}, line_keys), in_place));
  const TomlEntry* entry = fields.find("part");
  const auto name = fields.text(entry);
  if (!name) return;
  spring.part = *name;
  const Part* part = find_part(fields, parts, *entry, *name, {"coil", "band"});
  if (!part) return;
  if (const auto* coil = std::get_if<Coil>(&part->data)) {
    spring.data = *coil;
  } else if (const auto* band = std::get_if<Band>(&part->data)) {
    spring.data = *band;
  } else if (!kind_of(*part).empty()) {
    fields.problem(entry->place, "wrong-kind",
                   fmt::format("{} is {}, which is a {}", fields.subject(*entry), in_quotes(*name), kind_of(*part)),
                   "a spring's part is a coil or a band");
  }
}

void read_torsion(const Fields& fields, const LinkageDraft& draft, Spring& spring) {
  fields.refuse_unknown(joined({"kind", "count", "layer"}, torsion_keys), spring_key_owner);
  Torsion torsion;
  const char* const example = "between = [\"chassis\", \"arm\"]";
  const TomlEntry* entry = fields.need("between", example);
  const auto names = fields.words(entry, example);
  if (names && names->size() != 2) {
    fields.problem(entry->place, "wrong-type",
                   fmt::format("{} must be two bodies, but is a list of {}", fields.subject(*entry), names->size()));
  } else if (names) {
    const auto from = find_body(fields.reading, draft, (*names)[0].text, (*names)[0].place, fields.what);
    const auto to = find_body(fields.reading, draft, (*names)[1].text, (*names)[1].place, fields.what);
    torsion.from = from.value_or(0);
    torsion.to = to.value_or(0);
    if (from && to && *from == *to) {
      fields.problem((*names)[1].place, "same-body",
                     fmt::format("{} acts between body {} and itself", fields.what, in_quotes((*names)[1].text)));
    }
  }
  const auto rate =
      fields.number(fields.need("rate_n_mm_per_deg", "rate_n_mm_per_deg = 12"), not_negative("N mm/degree"));
  torsion.rate_n_mm_per_rad = rate.value_or(0) / rad_per_deg;
  torsion.free_rad =
      fields.number(fields.need("free_deg", "free_deg = 0"), any_number("degrees")).value_or(0) * rad_per_deg;
  const auto min = fields.number(fields.find("min_deg"), any_number("degrees"));
  const auto max = fields.number(fields.find("max_deg"), any_number("degrees"));
  if (min) torsion.min_rad = *min * rad_per_deg;
  if (max) torsion.max_rad = *max * rad_per_deg;
  if (min && max && *min > *max) {
    fields.problem(fields.find("max_deg")->place, "range",
                   fmt::format("{} has min_deg {} above max_deg {}", fields.what, *min, *max), "exchange them");
  }
  spring.data = torsion;
}

/// Neither part nor a known kind: what the other keys are can't be said.
void refuse_unknown_kind(const Fields& fields, const std::optional<std::string>& kind) {
  const auto all = joined(joined(joined({"part", "kind"}, line_keys), coil_keys()), torsion_keys);
  fields.refuse_unknown(all);
  if (!kind) return;
  const bool other =
      *kind == "tyre" || *kind == "beam" || *kind == "rod" || *kind == "pin" || *kind == "gear" || *kind == "other";
  fields.problem(fields.find("kind")->place, other ? "wrong-kind" : "unknown-name",
                 fmt::format("{} is of kind {}, which is not a spring", fields.what, in_quotes(*kind)),
                 fields.reading.suggest(*kind, {"coil", "band", "torsion"}, "kinds of spring"));
}

void read_spring(Reading& reading, const PartsAndUnits& parts, const NamedTable& named, LinkageDraft& draft) {
  const Fields fields{reading, *named.table, named.place, "spring " + in_quotes(named.name)};
  check_name(reading, named.place, named.name, "a spring");
  Spring spring;
  spring.name = named.name;
  spring.place = named.place;
  spring.count = fields.whole(fields.find("count"), {"", 1, false, 1000}).value_or(1);
  spring.layer = read_layer(fields);

  const bool has_part = fields.find("part") != nullptr;
  const TomlEntry* kind_entry = fields.find("kind");
  const auto kind = has_part ? std::nullopt : fields.text(kind_entry);
  if (has_part) {
    read_catalogue_spring(fields, parts, spring);
  } else if (kind == "coil") {
    fields.refuse_unknown(joined(joined({"kind"}, line_keys), coil_keys()), spring_key_owner);
    spring.data = read_coil(fields);
  } else if (kind == "band") {
    fields.refuse_unknown(joined(joined({"kind"}, line_keys), band_keys()), spring_key_owner);
    spring.data = read_band(fields);
  } else if (kind == "torsion") {
    read_torsion(fields, draft, spring);
  } else {
    if (!kind_entry) {
      fields.problem(named.place, "missing-key", fmt::format("{} has neither 'part' nor 'kind'", fields.what),
                     "add: part = \"coil-7-firm\", or kind = \"coil\" with a coil's keys");
    }
    refuse_unknown_kind(fields, kind);
  }
  if (!std::holds_alternative<Torsion>(spring.data)) {
    const auto ends = read_ends(fields, draft, "acts between");
    if (ends) spring.from = (*ends)[0], spring.to = (*ends)[1];
    spring.across_mm = read_across(fields, parts.module_mm, longest_across_mm(spring));
  }
  draft.linkage.springs.push_back(std::move(spring));
}

}  // namespace

void read_springs(Reading& reading, const PartsAndUnits& parts, const TomlEntry* entry, LinkageDraft& draft) {
  for (const NamedTable& named : named_tables(reading, entry, "[linkage.arm.spring.main]", most_joints)) {
    read_spring(reading, parts, named, draft);
  }
}

}  // namespace ridepitch
