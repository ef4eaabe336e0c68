#include "swap/change_words.hpp"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <optional>
#include <string_view>

#include <fmt/format.h>

#include "model/fields.hpp"
#include "model/index.hpp"
#include "model/linkage_draft.hpp"
#include "model/nearest_name.hpp"
#include "model/read_parts.hpp"
#include "model/reading.hpp"

namespace ridepitch {
namespace {

constexpr int most_springs_side_by_side = 1000;  // as the format has it

std::optional<double> number_in(std::string_view word) {
  const std::size_t begin = word.find_first_not_of(' ');
  if (begin == std::string_view::npos) return std::nullopt;
  word = word.substr(begin, word.find_last_not_of(' ') - begin + 1);
  if (word.front() == '+') word.remove_prefix(1);
  double value = 0;
  const auto [end, error] = std::from_chars(word.data(), word.data() + word.size(), value);
  const bool whole_word = error == std::errc() && end == word.data() + word.size();
  if (!whole_word || !std::isfinite(value) || std::abs(value) > most_believable) return std::nullopt;
  return value;
}

/// "-4.5, +9"
std::optional<Vec2> two_numbers(std::string_view word) {
  const std::size_t comma = word.find(',');
  if (comma == std::string_view::npos) return std::nullopt;
  const auto first = number_in(word.substr(0, comma)), second = number_in(word.substr(comma + 1));
  if (!first || !second) return std::nullopt;
  return Vec2(*first, *second);
}

/// "a coil", "a part of kind other".
std::string with_article(std::string_view kind) {
  return fmt::format("a {}{}", kind == "other" ? "part of kind " : "", kind);
}

/// What is known in place of a name that is not.
std::string suggestion(std::string_view name, const std::vector<std::string>& known, std::string_view plural) {
  const std::string nearest = nearest_name(name, known);
  if (!nearest.empty()) return fmt::format("did you mean '{}'?", nearest);
  const std::size_t few = 12;
  if (known.empty()) return fmt::format("there are no {}", plural);
  return known.size() > few ? "" : fmt::format("{}: {}", plural, list_in_quotes(known));
}

/// One option of the command line while its word is read.
struct OptionWord {
  const Model& model;
  std::string_view option;  ///< "--spring"
  std::string_view form;    ///< "CORNER/SPRING=PART*COUNT"
  std::vector<Problem>& problems;

  void problem(std::string code, std::string text, std::string hint = "") const {
    problems.push_back({.code = std::move(code), .text = fmt::format("{} {}", option, text), .hint = std::move(hint)});
  }

  std::nullopt_t wrong_form(std::string_view word) const {
    problem("usage", fmt::format("has {}, which is not of the form {}", in_quotes(word), form));
    return std::nullopt;
  }

  std::nullopt_t unknown(std::string_view what, std::string_view name, std::string_view of,
                         const std::vector<std::string>& known, std::string_view plural) const {
    problem("unknown-name", fmt::format("names {} {}, but {} has none of that name", what, in_quotes(name), of),
            suggestion(name, known, plural));
    return std::nullopt;
  }

  /// The corner before the slash; what follows it is left in the word.
  std::optional<int> corner_of(std::string_view& word) const {
    const std::size_t slash = word.find('/');
    if (slash == std::string_view::npos) return wrong_form(word);
    const std::string_view name = word.substr(0, slash);
    const int corner = index_of(model.corners, name);
    if (corner < 0) return unknown("corner", name, "the model", names_of(model.corners), "corners");
    word.remove_prefix(slash + 1);
    return corner;
  }

  /// NAME=VALUE, where names may hold an equals sign too.
  template <class IsKnown>
  std::optional<std::pair<std::string_view, std::string_view>> split(std::string_view word,
                                                                     const IsKnown& is_known) const {
    const std::size_t first = word.find('=');
    if (first == std::string_view::npos) return wrong_form(word);
    for (std::size_t i = first; i != std::string_view::npos; i = word.find('=', i + 1)) {
      if (is_known(word.substr(0, i))) return std::pair(word.substr(0, i), word.substr(i + 1));
    }
    return std::pair(word.substr(0, first), word.substr(first + 1));
  }

  /// A part of the catalogue of one of some kinds; null: reported.
  const Part* part_of(std::string_view name, const std::vector<std::string_view>& kinds, std::string_view plural,
                      const char* rule) const {
    const auto found = model.catalogue.find(name);
    if (found == model.catalogue.end()) {
      problem("unknown-name", fmt::format("names part {}, which no catalogue has", in_quotes(name)),
              suggestion(name, part_names(model.catalogue, kinds), plural));
      return nullptr;
    }
    const std::string_view kind = kind_of(found->second);
    if (std::find(kinds.begin(), kinds.end(), kind) != kinds.end()) return &found->second;
    problem("wrong-kind", fmt::format("names part {}, which is {}", in_quotes(name), with_article(kind)), rule);
    return nullptr;
  }

  const Linkage& linkage_of(int corner) const { return at(model.linkages, at(model.corners, corner).linkage); }
  std::string corner_words(int corner) const { return "corner " + in_quotes(at(model.corners, corner).name); }
};

/// PART, PART*COUNT or *COUNT.
bool read_part_and_count(const OptionWord& option, std::string_view value, const Spring& spring, SetSpring& change) {
  const std::size_t star = value.rfind('*');
  std::string_view part = value;
  if (star != std::string_view::npos && !option.model.catalogue.contains(value)) {
    const auto count = number_in(value.substr(star + 1));
    if (!count || *count != std::floor(*count) || *count < 1 || *count > most_springs_side_by_side) {
      option.problem("out-of-range", fmt::format("has {} for a count, which must be a whole number from 1 to {}",
                                                 in_quotes(value.substr(star + 1)), most_springs_side_by_side));
      return false;
    }
    change.count = static_cast<int>(*count);
    part = value.substr(0, star);
  } else if (value.empty()) {
    option.wrong_form(value);
    return false;
  }
  if (part.empty()) return true;
  const Part* found =
      option.part_of(part, spring_kinds(), "springs of the catalogue", "a spring's part is a coil or a band");
  if (!found) return false;
  if (turns(spring)) {
    option.problem("foreign-key", fmt::format("names a part for {}, which is a torsion spring", in_quotes(spring.name)),
                   "a torsion spring takes no part; its number is set by *COUNT");
    return false;
  }
  if (!reaches_across(*found, spring)) {
    option.problem("out-of-range",
                   fmt::format("names part {}, which is {:g} mm long, for {}, whose ends lie {:g} mm apart across the "
                               "plane",
                               in_quotes(part), *longest_mm(*narrowed<SpringData>(found->data)), in_quotes(spring.name),
                               spring.across_mm));
    return false;
  }
  change.part = part;
  return true;
}

/// One thing of a linkage, and what is said of it.
struct Said {
  int linkage = 0, thing = 0;
  std::string_view value;
};

/// CORNER/THING=VALUE. @param what, plural  "rod", "rods". @param list  of a linkage
template <class List>
std::optional<Said> read_said(const OptionWord& option, std::string_view word, const char* what, const char* plural,
                              List list) {
  const auto corner = option.corner_of(word);
  if (!corner) return std::nullopt;
  const auto& things = option.linkage_of(*corner).*list;
  const auto parts = option.split(word, [&](std::string_view name) { return index_of(things, name) >= 0; });
  if (!parts) return std::nullopt;
  const int thing = index_of(things, parts->first);
  if (thing < 0)
    return option.unknown(what, parts->first, option.corner_words(*corner), names_of(things),
                          fmt::format("its {}", plural));
  return Said{at(option.model.corners, *corner).linkage, thing, parts->second};
}

std::optional<Change> read_spring(const OptionWord& option, std::string_view word) {
  const auto said = read_said(option, word, "spring", "springs", &Linkage::springs);
  if (!said) return std::nullopt;
  const Spring& spring = at(at(option.model.linkages, said->linkage).springs, said->thing);
  SetSpring change{said->linkage, said->thing, "", spring.count};
  if (!read_part_and_count(option, said->value, spring, change)) return std::nullopt;
  return change;
}

std::optional<Change> read_hole(const OptionWord& option, std::string_view word) {
  const auto corner = option.corner_of(word);
  if (!corner) return std::nullopt;
  const std::vector<Body>& bodies = option.linkage_of(*corner).bodies;
  const auto hole_at = [&](std::string_view name) {
    const std::size_t dot = std::min(name.find('.'), name.size());
    const int body = index_of(bodies, name.substr(0, dot));
    const int hole = body < 0 || dot == name.size() ? -1 : index_of(at(bodies, body).holes, name.substr(dot + 1));
    return std::pair(body, hole);
  };
  const auto parts = option.split(word, [&](std::string_view name) { return hole_at(name).second >= 0; });
  if (!parts) return std::nullopt;
  const std::size_t dot = parts->first.find('.');
  if (dot == std::string_view::npos) return option.wrong_form(word);
  const auto [body, hole] = hole_at(parts->first);
  if (body < 0)
    return option.unknown("body", parts->first.substr(0, dot), option.corner_words(*corner), names_of(bodies),
                          "its bodies");
  if (hole < 0)
    return option.unknown("hole", parts->first.substr(dot + 1), "body " + in_quotes(at(bodies, body).name),
                          names_of(at(bodies, body).holes), "its holes");
  const auto place = two_numbers(parts->second);
  if (!place) {
    option.problem(
        "usage", fmt::format("has {} for a place, which must be two numbers U,V in modules", in_quotes(parts->second)));
    return std::nullopt;
  }
  return MoveHole{at(option.model.corners, *corner).linkage, body, hole, *place * option.model.module_mm};
}

std::optional<Change> read_rod(const OptionWord& option, std::string_view word) {
  const auto said = read_said(option, word, "rod", "rods", &Linkage::rods);
  if (!said) return std::nullopt;
  const auto length = number_in(said->value);
  const double module_mm = option.model.module_mm,
               across_mm = at(at(option.model.linkages, said->linkage).rods, said->thing).across_mm;
  if (!length || *length * module_mm <= across_mm) {
    option.problem(length ? "out-of-range" : "usage",
                   fmt::format("has {} for a length, which must be a number of modules over {:g}",
                               in_quotes(said->value), across_mm / module_mm));
    return std::nullopt;
  }
  return SetLength{said->linkage, said->thing, *length * module_mm};
}

std::optional<Change> read_part_of_body(const OptionWord& option, std::string_view word) {
  const auto said = read_said(option, word, "body", "bodies", &Linkage::bodies);
  if (!said) return std::nullopt;
  const Body& body = at(at(option.model.linkages, said->linkage).bodies, said->thing);
  if (body.part.empty()) {
    option.problem("foreign-key",
                   fmt::format("exchanges the part of {}, which {}", in_quotes(body.name),
                               body.built.empty() ? "has none" : "is 'built' of " + made_words(body)),
                   body.built.empty() ? "say in the file what it is made of: part = \"beam-9\""
                                      : "exchange a part among several in the file itself");
    return std::nullopt;
  }
  const Part* part = option.part_of(said->value, {"beam", "other"}, "beams of the catalogue",
                                    "a body's part is a beam, or a part of kind other");
  if (!part) return std::nullopt;
  if (std::get<Piece>(part->data).holes.empty()) {
    option.problem("missing-key",
                   fmt::format("names part {}, which does not say where its holes are", in_quotes(said->value)),
                   "give it 'holes' in a catalogue");
    return std::nullopt;
  }
  return SetPart{said->linkage, said->thing, std::string(said->value)};
}

std::optional<Change> read_tyre(const OptionWord& option, std::string_view word) {
  const auto said = read_said(option, word, "wheel", "wheels", &Linkage::wheels);
  if (!said) return std::nullopt;
  const Wheel& wheel = at(at(option.model.linkages, said->linkage).wheels, said->thing);
  if (!wheel.same_as.empty()) {
    option.problem("foreign-key",
                   fmt::format("exchanges the tyre of {}, which is the same as {}", in_quotes(wheel.name),
                               in_quotes(wheel.same_as)),
                   fmt::format("exchange it there, and both get it: --tyre \"{}={}\"", wheel.same_as, said->value));
    return std::nullopt;
  }
  if (!option.part_of(said->value, {"tyre"}, "tyres of the catalogue", "a wheel's part is a tyre")) return std::nullopt;
  return SetTyre{said->linkage, said->thing, std::string(said->value)};
}

std::optional<Change> read_rod_height(const OptionWord& option, std::string_view word) {
  const auto said = read_said(option, word, "rod", "rods", &Linkage::rods);
  if (!said) return std::nullopt;
  const Linkage& linkage = at(option.model.linkages, said->linkage);
  const Rod& rod = at(linkage.rods, said->thing);
  if (!is_tie_rod(linkage, rod)) {
    option.problem("foreign-key",
                   fmt::format("gives rod {} heights, but it is not a tie rod of a top linkage", in_quotes(rod.name)),
                   "a tie rod has an end on a body that carries a steered wheel");
    return std::nullopt;
  }
  const auto heights = two_numbers(said->value);
  if (!heights) {
    option.problem("usage", fmt::format("has {} for heights, which must be two numbers FROM,TO in modules",
                                        in_quotes(said->value)));
    return std::nullopt;
  }
  const Vec2 mm = *heights * option.model.module_mm;
  return SetRodHeight{said->linkage, said->thing, {mm.x(), mm.y()}};
}

std::optional<Change> read_without(const OptionWord& option, std::string_view word) {
  const int bar = index_of(option.model.bars, word);
  if (bar >= 0) return RemoveBar{bar};
  if (word.find('/') == std::string_view::npos) {
    return option.unknown("bar", word, "the model", names_of(option.model.bars), "bars");
  }
  const auto corner = option.corner_of(word);
  if (!corner) return std::nullopt;
  const std::vector<Spring>& springs = option.linkage_of(*corner).springs;
  const int spring = index_of(springs, word);
  if (spring < 0) return option.unknown("spring", word, option.corner_words(*corner), names_of(springs), "its springs");
  return RemoveSpring{at(option.model.corners, *corner).linkage, spring};
}

}  // namespace

ReadChanges read_changes(const Model& model, const ChangeWords& words) {
  ReadChanges result;
  const auto read_all = [&](const char* name, const char* form, const std::vector<std::string>& list,
                            const auto& read) {
    const OptionWord option{model, name, form, result.problems};
    for (const std::string& word : list) {
      if (const std::optional<Change> change = read(option, word)) result.changes.push_back(*change);
    }
  };
  read_all("--spring", "CORNER/SPRING=PART*COUNT", words.springs, read_spring);
  read_all("--hole", "CORNER/BODY.HOLE=U,V", words.holes, read_hole);
  read_all("--rod", "CORNER/ROD=LENGTH", words.rods, read_rod);
  read_all("--without", "CORNER/SPRING, or the name of a bar", words.without, read_without);
  read_all("--part", "CORNER/BODY=PART", words.parts, read_part_of_body);
  read_all("--tyre", "CORNER/WHEEL=PART", words.tyres, read_tyre);
  read_all("--rod-height", "CORNER/ROD=FROM,TO", words.heights, read_rod_height);
  return result;
}

std::string change_words(const Model& model, const Change& change) {
  const std::string thing = changed_thing(model, change);
  if (const auto* hole = std::get_if<MoveHole>(&change)) {
    const Vec2& from_mm = at(at(at(model.linkages, hole->linkage).bodies, hole->body).holes, hole->hole).p_B;
    return fmt::format("hole {}: {} -> {}", thing, place_words(from_mm, model.module_mm),
                       place_words(hole->to_B_mm, model.module_mm));
  }
  if (const auto* length = std::get_if<SetLength>(&change)) {
    const Rod& rod = at(at(model.linkages, length->linkage).rods, length->rod);
    return fmt::format("rod {}: {:g} -> {:g} modules", thing, rod.length_mm / model.module_mm,
                       length->length_mm / model.module_mm);
  }
  if (const auto* set = std::get_if<SetSpring>(&change)) {
    const Spring& spring = at(at(model.linkages, set->linkage).springs, set->spring);
    const Model with = changed(model, {change});
    return fmt::format("spring {}: {} -> {}", thing, spring_words(spring),
                       spring_words(at(at(with.linkages, set->linkage).springs, set->spring)));
  }
  if (const auto* part = std::get_if<SetPart>(&change)) {
    const Body& body = at(at(model.linkages, part->linkage).bodies, part->body);
    return fmt::format("part {}: {} -> {}", body.name, made_words(body), part->part);
  }
  if (const auto* tyre = std::get_if<SetTyre>(&change)) {
    const Wheel& wheel = at(at(model.linkages, tyre->linkage).wheels, tyre->wheel);
    return fmt::format("tyre {}: {} -> {}", wheel.name, tyre_words(wheel), tyre->part);
  }
  if (const auto* height = std::get_if<SetRodHeight>(&change)) {
    const Rod& rod = at(at(model.linkages, height->linkage).rods, height->rod);
    return fmt::format("height {}: {} -> {}", rod.name, height_words(rod, model.module_mm),
                       place_words({height->height_mm[0], height->height_mm[1]}, model.module_mm));
  }
  const bool a_spring = std::holds_alternative<RemoveSpring>(change);
  return fmt::format("{} {}: taken out", a_spring ? "spring" : "bar", thing);
}

std::vector<std::string> corners_changed(const Model& model, const Change& change) {
  std::vector<std::string> names;
  if (const auto* bar = std::get_if<RemoveBar>(&change)) {
    for (const BodyRef& end : at(model.bars, bar->bar).ends) names.push_back(at(model.corners, end.corner).name);
    return names;
  }
  const int linkage = changed_linkage(change);
  for (const Corner& corner : model.corners) {
    if (corner.linkage == linkage) names.push_back(corner.name);
  }
  return names;
}

}  // namespace ridepitch
