#include "model/read_tune.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <memory>

#include <fmt/core.h>

#include "model/read_parts.hpp"
#include "model/tune.hpp"

namespace ridepitch {
namespace {

constexpr std::size_t most_varied = 100;
constexpr std::size_t most_wants = 1000;
constexpr double most_places = 1e5;

// A range of 0 to 0.3 in steps of 0.1 has four places, though 3 * 0.1 is a little over 0.3 in binary.
constexpr double step_slack = 1e-9;

/// The steps of an inclusive range.
std::vector<double> steps_of(const std::array<double, 2>& range, double step) {
  std::vector<double> steps;
  const double count = std::floor((range[1] - range[0]) / step + step_slack) + 1;
  for (double i = 0; i < count; ++i) steps.push_back(range[0] + i * step);
  return steps;
}

/// A range, and the same written out, u fastest.
void read_range(const Fields& fields, double module_mm, VaryHole& vary) {
  const auto u = fields.range(fields.need("u", "u = [0, 4]"), any_number("modules"));
  const auto v = fields.range(fields.need("v", "v = [4, 8]"), any_number("modules"));
  const TomlEntry* entry = fields.need("step", "step = 1");
  const auto step = fields.number(entry, above_zero("modules"));
  if (!u || !v || !step) return;
  const double places = (((*u)[1] - (*u)[0]) / *step + 1) * (((*v)[1] - (*v)[0]) / *step + 1);
  if (places > most_places) {
    fields.problem(
        entry->place, "too-many",
        fmt::format("{} may go to some {:.0f} places, but the most is {:.0f}", fields.what, places, most_places),
        "take a larger step or a smaller range");
    return;
  }
  vary.range_mm = {Vec2((*u)[0], (*v)[0]) * module_mm, Vec2((*u)[1], (*v)[1]) * module_mm};
  for (const double at_v : steps_of(*v, *step)) {
    for (const double at_u : steps_of(*u, *step)) vary.at_mm.push_back(Vec2(at_u, at_v) * module_mm);
  }
}

/// The list `at` of exactly the places that there are.
std::vector<Vec2> read_places(const Fields& fields, const TomlEntry& entry, double module_mm) {
  const TomlArray* list = fields.list(&entry, "at = [[-4, 9], [-5, 9]]");
  if (!list) return {};
  std::vector<Vec2> result;
  for (const TomlValue& value : *list) {
    const auto at = numbers_value(fields.reading, value, value.place, "a place in " + fields.subject(entry), 2,
                                  "[u, v]", any_number("modules") * module_mm);
    if (at) result.emplace_back(at->data());
  }
  return result;
}

VaryHole read_vary_hole(const Fields& fields, const PartsAndUnits& parts, const Linkage& linkage) {
  VaryHole vary;
  LinkageDraft draft{parts, linkage};
  draft.holes_known.assign(linkage.bodies.size(), true);
  const TomlEntry *hole = fields.find("hole"), *at = fields.find("at");
  if (const auto ref = find_hole(fields, draft, hole)) {
    vary.body = ref->body;
    vary.hole = ref->hole;
  }
  if (!at) {
    read_range(fields, parts.module_mm, vary);
    return vary;
  }
  vary.at_mm = read_places(fields, *at, parts.module_mm);
  for (const std::string_view key : {"u", "v", "step"}) {
    if (!fields.find(key)) continue;
    fields.problem(fields.find(key)->place, "foreign-key",
                   fmt::format("{} has 'at', and '{}' beside it", fields.what, key),
                   "either list the places, or give a range");
    break;
  }
  return vary;
}

/// The rod or spring that is varied.
template <typename Named>
const Named* find_varied(const Fields& fields, const Linkage& linkage, const std::vector<Named>& list,
                         std::string_view kind) {
  const TomlEntry* entry = fields.find(kind);
  const auto name = fields.text(entry);
  if (!name) return nullptr;
  const auto found = find_named(fields.reading, list, *name, entry->place,
                                fmt::format("{} varies {} {}, but linkage {} has no such {}", fields.what, kind,
                                            in_quotes(*name), in_quotes(linkage.name), kind),
                                fmt::format("{}s", kind));
  return found ? &at(list, *found) : nullptr;
}

/// The index of what find_varied() found; 0 where it found nothing (reported).
template <typename Named>
int index_in(const std::vector<Named>& list, const Named* found) {
  return found ? static_cast<int>(found - list.data()) : 0;
}

VaryRod read_vary_rod(const Fields& fields, double module_mm, const Linkage& linkage) {
  VaryRod vary;
  const Rod* rod = find_varied(fields, linkage, linkage.rods, "rod");
  vary.rod = index_in(linkage.rods, rod);
  const double across_mm = rod ? rod->across_mm : 0;
  const TomlEntry* lengths = fields.need("length", "length = [5, 6, 7]");
  const TomlArray* list = fields.list(lengths, "length = [5, 6, 7]");
  for (const TomlValue& value : list ? *list : TomlArray{}) {
    const auto length = number_value(fields.reading, value, value.place, "a length in " + fields.subject(*lengths),
                                     above_zero("modules"));
    if (!length) continue;
    if (*length * module_mm <= across_mm) {
      fields.problem(value.place, "out-of-range",
                     fmt::format("{} offers {} modules, but rod {} lies {} modules across", fields.what, *length,
                                 in_quotes(rod->name), across_mm / module_mm),
                     "a rod is longer than its 'across'");
    }
    vary.length_mm.push_back(*length * module_mm);
  }
  return vary;
}

/// The springs that may stand in, by name.
std::vector<std::string> read_spring_parts(const Fields& fields, const PartsAndUnits& parts) {
  const TomlEntry* entry = fields.find("part");
  std::vector<std::string> result;
  const auto names = fields.words(entry, "part = [\"coil-7-firm\", \"coil-9-firm\"]");
  for (const auto& [name, place] : names.value_or(std::vector<Fields::Word>{})) {
    find_part(fields, parts, {name, place}, spring_kinds(), "a spring's part is a coil or a band",
              fields.what + " offers");
    result.push_back(name);
  }
  return result;
}

VarySpring read_vary_spring(const Fields& fields, const PartsAndUnits& parts, const Linkage& linkage) {
  VarySpring vary;
  const Spring* spring = find_varied(fields, linkage, linkage.springs, "spring");
  vary.spring = index_in(linkage.springs, spring);
  const TomlEntry *part = fields.find("part"), *counts = fields.find("count");
  if (!part && !counts) {
    fields.problem(fields.name_place, "missing-key", fmt::format("{} has neither 'part' nor 'count'", fields.what),
                   "add: part = [\"coil-7-firm\", \"coil-9-firm\"], or count = [1, 2]");
  }
  vary.parts = read_spring_parts(fields, parts);
  if (part && spring && turns(*spring)) {
    fields.problem(part->place, "foreign-key",
                   fmt::format("spring {} is a torsion spring, which takes no part", in_quotes(spring->name)),
                   "vary its 'count'");
  }
  const TomlArray* list = fields.list(counts, "count = [1, 2]");
  for (const TomlValue& value : list ? *list : TomlArray{}) {
    const TomlEntry one{counts->key, value.place, value};
    if (const auto count = fields.whole(&one, up_to_1000)) vary.counts.push_back(*count);
  }
  return vary;
}

/// Which thing of its linkage is varied: its list, its index there, and that of its hole.
std::array<int, 3> thing_of(const Vary& vary) {
  const int list = static_cast<int>(vary.what.index());
  if (const auto* hole = std::get_if<VaryHole>(&vary.what)) return {list, hole->body, hole->hole};
  if (const auto* rod = std::get_if<VaryRod>(&vary.what)) return {list, rod->rod, 0};
  return {list, std::get<VarySpring>(vary.what).spring, 0};
}

/// The linkage of a vary: its own, or that of the corner that is tuned; none if it can't be told (reported).
std::optional<int> vary_linkage(const Fields& fields, const VehicleDraft& draft, const Tune& tune, bool corner_named) {
  if (const TomlEntry* entry = fields.find("linkage")) return find_linkage(fields, entry, draft);
  if (tune.corner && at(draft.model.corners, *tune.corner).linkage >= 0) {
    return at(draft.model.corners, *tune.corner).linkage;
  }
  if (!corner_named) {
    fields.problem(fields.name_place, "missing-key",
                   fmt::format("{} has no 'linkage', and [tune] has no 'corner' whose linkage is meant", fields.what),
                   "add: corner = \"rear left\" to [tune]");
  }
  return std::nullopt;
}

void read_vary(const Fields& fields, const PartsAndUnits& parts, const VehicleDraft& draft, bool corner_named,
               Tune& tune) {
  std::vector<std::string_view> named;
  for (const std::string_view key : {"hole", "rod", "spring"}) {
    if (fields.find(key)) named.push_back(key);
  }
  if (named.size() != 1) {
    const bool none = named.empty();
    fields.problem(
        none ? fields.name_place : fields.find(named[1])->place, none ? "missing-key" : "foreign-key",
        fmt::format("{} names {} 'hole', 'rod' and 'spring'", fields.what, none ? "none of" : "more than one of"),
        "it varies one thing");
    fields.refuse_unknown({"hole", "rod", "spring", "linkage", "u", "v", "step", "at", "length", "part", "count"});
    return;
  }
  const std::string_view kind = named[0];
  if (kind == "hole") fields.refuse_unknown({"hole", "linkage", "u", "v", "step", "at"});
  if (kind == "rod") fields.refuse_unknown({"rod", "linkage", "length"});
  if (kind == "spring") fields.refuse_unknown({"spring", "linkage", "part", "count"});
  const auto index = vary_linkage(fields, draft, tune, corner_named);
  if (!index) return;
  const Linkage& linkage = at(draft.model.linkages, *index);
  const int found_before = fields.reading.found;
  Vary vary{*index, VaryHole{}, fields.name_place};
  if (kind == "hole") vary.what = read_vary_hole(fields, parts, linkage);
  if (kind == "rod") vary.what = read_vary_rod(fields, parts.module_mm, linkage);
  if (kind == "spring") vary.what = read_vary_spring(fields, parts, linkage);
  if (fields.reading.found != found_before) return;
  if (std::any_of(tune.vary.begin(), tune.vary.end(), [&](const Vary& other) {
        return other.linkage == vary.linkage && thing_of(other) == thing_of(vary);
      })) {
    fields.problem(fields.name_place, "duplicate-name",
                   fmt::format("{} {} is varied twice", kind, in_quotes(fields.text(fields.find(kind)).value_or(""))),
                   "put all its places into one [[tune.vary]]");
  }
  tune.vary.push_back(std::move(vary));
}

}  // namespace

void read_tune(const Fields& root, const PartsAndUnits& parts, VehicleDraft& draft) {
  const auto fields = root.section("tune");
  if (!fields) return;
  Tune tune;
  tune.place = fields->name_place;
  fields->read({{"corner"}, {"keep_parts", &tune.keep_parts}, {"vary"}, {"want"}, {"need"}});
  const TomlEntry* corner = fields->find("corner");
  if (const auto name = fields->text(corner)) {
    tune.corner = find_corner(root.reading, draft, *name, corner->place, fields->subject(*corner));
  }
  for (const Fields& vary : fields->listed("vary", most_varied)) read_vary(vary, parts, draft, corner != nullptr, tune);
  for (const Fields& want : fields->listed("want", most_wants)) read_want(want, draft, tune);
  for (const Fields& need : fields->listed("need", most_wants)) read_need(need, draft, tune);
  draft.model.tune = std::make_shared<const Tune>(std::move(tune));
}

}  // namespace ridepitch
