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

/// A range written out, u fastest.
std::vector<Vec2> read_range(const Fields& fields, double module_mm) {
  const auto u = fields.range(fields.need("u", "u = [0, 4]"), any_number("modules"));
  const auto v = fields.range(fields.need("v", "v = [4, 8]"), any_number("modules"));
  const TomlEntry* entry = fields.need("step", "step = 1");
  const auto step = fields.number(entry, above_zero("modules"));
  if (!u || !v || !step) return {};
  const double places = (((*u)[1] - (*u)[0]) / *step + 1) * (((*v)[1] - (*v)[0]) / *step + 1);
  if (places > most_places) {
    fields.problem(
        entry->place, "too-many",
        fmt::format("{} may go to some {:.0f} places, but the most is {:.0f}", fields.what, places, most_places),
        "take a larger step or a smaller range");
    return {};
  }
  std::vector<Vec2> result;
  for (const double at_v : steps_of(*v, *step)) {
    for (const double at_u : steps_of(*u, *step)) result.push_back(Vec2(at_u, at_v) * module_mm);
  }
  return result;
}

/// The list `at` of exactly the places that there are.
std::vector<Vec2> read_places(const Fields& fields, const TomlEntry& entry, double module_mm) {
  const TomlArray* list = fields.list(&entry, "at = [[-4, 9], [-5, 9]]");
  if (!list) return {};
  std::vector<Vec2> result;
  for (const TomlValue& value : *list) {
    const auto at = numbers_value(fields.reading, value, value.place, "a place in " + fields.subject(entry), 2,
                                  "[u, v]", any_number("modules"));
    if (at) result.push_back(Vec2((*at)[0], (*at)[1]) * module_mm);
  }
  return result;
}

VaryHole read_vary_hole(const Fields& fields, double module_mm, const Linkage& linkage) {
  VaryHole vary;
  LinkageDraft draft;
  draft.linkage = linkage;
  draft.holes_known.assign(linkage.bodies.size(), true);
  const TomlEntry *hole = fields.find("hole"), *at = fields.find("at");
  if (const auto ref = find_hole(fields, draft, hole)) {
    vary.body = ref->body;
    vary.hole = ref->hole;
  }
  if (!at) {
    vary.at_mm = read_range(fields, module_mm);
    return vary;
  }
  vary.at_mm = read_places(fields, *at, module_mm);
  for (const std::string_view key : {"u", "v", "step"}) {
    if (!fields.find(key)) continue;
    fields.problem(fields.find(key)->place, "foreign-key",
                   fmt::format("{} has 'at', and '{}' beside it", fields.what, key),
                   "either list the places, or give a range");
    break;
  }
  return vary;
}

VaryRod read_vary_rod(const Fields& fields, double module_mm, const Linkage& linkage) {
  VaryRod vary;
  const TomlEntry* entry = fields.find("rod");
  const auto name = fields.text(entry);
  const int rod = name ? index_of(linkage.rods, *name) : -1;
  if (name && rod < 0) {
    fields.problem(entry->place, "unknown-name",
                   fmt::format("{} varies rod {}, but linkage {} has no such rod", fields.what, in_quotes(*name),
                               in_quotes(linkage.name)),
                   fields.reading.suggest(*name, names_of(linkage.rods), "rods"));
  }
  vary.rod = std::max(rod, 0);
  const double across_mm = rod < 0 ? 0 : linkage.rods[static_cast<std::size_t>(rod)].across_mm;
  const TomlEntry* lengths = fields.need("length", "length = [5, 6, 7]");
  const TomlArray* list = fields.list(lengths, "length = [5, 6, 7]");
  for (const TomlValue& value : list ? *list : TomlArray{}) {
    const auto length = number_value(fields.reading, value, value.place, "a length in " + fields.subject(*lengths),
                                     above_zero("modules"));
    if (!length) continue;
    if (*length * module_mm <= across_mm) {
      fields.problem(value.place, "out-of-range",
                     fmt::format("{} offers {} modules, but rod {} lies {} modules across", fields.what, *length,
                                 in_quotes(*name), across_mm / module_mm),
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
    const TomlEntry at_its_place{entry->key, place, entry->value};
    const Part* part = find_part(fields, parts, at_its_place, name, {"coil", "band"});
    if (part && !line_spring(*part) && !kind_of(*part).empty()) {
      fields.problem(place, "wrong-kind",
                     fmt::format("{} offers {}, which is a {}", fields.what, in_quotes(name), kind_of(*part)),
                     "a spring's part is a coil or a band");
    }
    result.push_back(name);
  }
  return result;
}

VarySpring read_vary_spring(const Fields& fields, const PartsAndUnits& parts, const Linkage& linkage) {
  VarySpring vary;
  const TomlEntry* entry = fields.find("spring");
  const auto name = fields.text(entry);
  const int spring = name ? index_of(linkage.springs, *name) : -1;
  if (name && spring < 0) {
    fields.problem(entry->place, "unknown-name",
                   fmt::format("{} varies spring {}, but linkage {} has no such spring", fields.what, in_quotes(*name),
                               in_quotes(linkage.name)),
                   fields.reading.suggest(*name, names_of(linkage.springs), "springs"));
  }
  vary.spring = std::max(spring, 0);
  const TomlEntry *part = fields.find("part"), *counts = fields.find("count");
  if (!part && !counts) {
    fields.problem(fields.name_place, "missing-key", fmt::format("{} has neither 'part' nor 'count'", fields.what),
                   "add: part = [\"coil-7-firm\", \"coil-9-firm\"], or count = [1, 2]");
  }
  vary.parts = read_spring_parts(fields, parts);
  if (part && spring >= 0 && turns(linkage.springs[static_cast<std::size_t>(spring)])) {
    fields.problem(part->place, "foreign-key",
                   fmt::format("spring {} is a torsion spring, which takes no part", in_quotes(*name)),
                   "vary its 'count'");
  }
  const TomlArray* list = fields.list(counts, "count = [1, 2]");
  for (const TomlValue& value : list ? *list : TomlArray{}) {
    const TomlEntry one{counts->key, value.place, value};
    if (const auto count = fields.whole(&one, {"", 1, false, 1000})) vary.counts.push_back(*count);
  }
  return vary;
}

/// Which thing of which linkage is varied, to find the same one varied twice.
bool same_thing(const Vary& a, const Vary& b) {
  if (a.linkage != b.linkage || a.what.index() != b.what.index()) return false;
  if (const auto* hole = std::get_if<VaryHole>(&a.what)) {
    const auto& other = std::get<VaryHole>(b.what);
    return hole->body == other.body && hole->hole == other.hole;
  }
  if (const auto* rod = std::get_if<VaryRod>(&a.what)) return rod->rod == std::get<VaryRod>(b.what).rod;
  return std::get<VarySpring>(a.what).spring == std::get<VarySpring>(b.what).spring;
}

/// The linkage of a vary: its own, or that of the corner that is tuned; -1 if it can't be told (reported).
int vary_linkage(const Fields& fields, const Model& model, const Tune& tune, bool corner_named) {
  if (const TomlEntry* entry = fields.find("linkage")) {
    const auto name = fields.text(entry);
    if (!name) return -1;
    const int linkage = index_of(model.linkages, *name);
    if (linkage < 0) {
      fields.problem(entry->place, "unknown-name",
                     fmt::format("{} is {}, but there is no such linkage", fields.subject(*entry), in_quotes(*name)),
                     fields.reading.suggest(*name, names_of(model.linkages), "linkages"));
    }
    return linkage;
  }
  if (tune.corner) return model.corners[static_cast<std::size_t>(*tune.corner)].linkage;
  if (!corner_named) {
    fields.problem(fields.name_place, "missing-key",
                   fmt::format("{} has no 'linkage', and [tune] has no 'corner' whose linkage is meant", fields.what),
                   "add: corner = \"rear left\" to [tune]");
  }
  return -1;
}

void read_vary(const Fields& fields, const PartsAndUnits& parts, const Model& model, bool corner_named, Tune& tune) {
  const std::array<std::string_view, 3> subjects = {"hole", "rod", "spring"};
  std::vector<std::string_view> named;
  for (const std::string_view key : subjects) {
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
  if (named[0] == "hole") fields.refuse_unknown({"hole", "linkage", "u", "v", "step", "at"});
  if (named[0] == "rod") fields.refuse_unknown({"rod", "linkage", "length"});
  if (named[0] == "spring") fields.refuse_unknown({"spring", "linkage", "part", "count"});
  const int index = vary_linkage(fields, model, tune, corner_named);
  if (index < 0) return;
  const Linkage& linkage = model.linkages[static_cast<std::size_t>(index)];
  const int found_before = fields.reading.found;
  Vary vary{index, VaryHole{}, fields.name_place};
  if (named[0] == "hole") vary.what = read_vary_hole(fields, parts.module_mm, linkage);
  if (named[0] == "rod") vary.what = read_vary_rod(fields, parts.module_mm, linkage);
  if (named[0] == "spring") vary.what = read_vary_spring(fields, parts, linkage);
  if (fields.reading.found != found_before) return;
  if (std::any_of(tune.vary.begin(), tune.vary.end(), [&](const Vary& other) { return same_thing(other, vary); })) {
    fields.problem(
        fields.name_place, "duplicate-name",
        fmt::format("{} {} is varied twice", named[0], in_quotes(fields.text(fields.find(named[0])).value_or(""))),
        "put all its places into one [[tune.vary]]");
  }
  tune.vary.push_back(std::move(vary));
}

}  // namespace

void read_tune(const Fields& root, const PartsAndUnits& parts, VehicleDraft& draft) {
  const TomlEntry* entry = root.find("tune");
  const TomlTable* table = single_table(root.reading, entry);
  if (!table) return;
  const Fields fields{root.reading, *table, entry->value.place, "[tune]"};
  fields.refuse_unknown({"corner", "keep_parts", "vary", "want", "need"});
  Tune tune;
  tune.place = entry->value.place;
  const TomlEntry* corner = fields.find("corner");
  if (const auto name = fields.text(corner)) {
    tune.corner = find_corner(fields.reading, draft, *name, corner->place, fields.subject(*corner));
  }
  tune.keep_parts = fields.yes_or_no(fields.find("keep_parts")).value_or(false);
  for (const ListedTable& listed : listed_tables(fields.reading, fields.find("vary"), most_varied)) {
    read_vary(Fields{fields.reading, *listed.table, listed.place, "this [[tune.vary]]"}, parts, draft.model,
              corner != nullptr, tune);
  }
  for (const ListedTable& listed : listed_tables(fields.reading, fields.find("want"), most_wants)) {
    read_want(Fields{fields.reading, *listed.table, listed.place, "this [[tune.want]]"}, draft, tune);
  }
  for (const ListedTable& listed : listed_tables(fields.reading, fields.find("need"), most_wants)) {
    read_need(Fields{fields.reading, *listed.table, listed.place, "this [[tune.need]]"}, draft, tune);
  }
  draft.model.tune = std::make_shared<const Tune>(std::move(tune));
}

}  // namespace ridepitch
