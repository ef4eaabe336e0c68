#include "model/edit.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>

#include <fmt/format.h>

#include "model/edit_paths.hpp"
#include "model/linkage_draft.hpp"
#include "model/number_token.hpp"
#include "model/read.hpp"
#include "model/read_parts.hpp"
#include "model/reading.hpp"
#include "model/thing_of.hpp"
#include "model/toml_edit.hpp"
#include "model/tune.hpp"
#include "model/write_file.hpp"

namespace ridepitch {
namespace {

/// "the length of rod 'pushrod' can't be written into the text as it stands"
Problem cannot_edit(const std::string& what) {
  return {.code = "edit",
          .text = fmt::format("{} can't be written into the text as it stands", what),
          .hint = "make that change by hand"};
}

bool as_long(double a_mm, double b_mm) {
  const double rounding = 1e-12;
  return std::abs(a_mm - b_mm) <= rounding * std::max(std::abs(a_mm), std::abs(b_mm));
}

TomlPath element_of(TomlPath list, int index) {
  list.emplace_back(static_cast<std::size_t>(index));
  return list;
}

/// A value that a text has to say otherwise.
struct Difference {
  TomlPath path;
  /// A length [mm]; a count; a part, empty: none; two lengths [mm] that were not there.
  std::variant<double, int, std::string, std::array<double, 2>> wanted;
  std::string thing;  ///< "the length of rod 'pushrod'"
};

/// What one model says otherwise than another with the same things in it, as far as changes can touch it.
std::vector<Difference> differences(const Model& from, const Model& to) {
  std::vector<Difference> result;
  const auto compare_mm = [&](const TomlPath& path, double old_mm, double new_mm, const std::string& thing) {
    if (!as_long(old_mm, new_mm)) result.push_back({path, new_mm, thing});
  };
  const auto compare_part = [&](const TomlPath& path, const std::string& old, const std::string& now,
                                const std::string& thing) {
    if (now != old) result.push_back({path, now, thing});
  };
  for (int l = 0; l < count(to.linkages); ++l) {
    const Linkage &old = at(from.linkages, l), &linkage = at(to.linkages, l);
    const auto path = [&](const char* list, const std::string& name, const char* key) {
      return TomlPath{"linkage", linkage.name, list, name, key};
    };
    for (int b = 0; b < count(linkage.bodies); ++b) {
      const Body& body = at(linkage.bodies, b);
      compare_part(path("body", body.name, "part"), at(old.bodies, b).part, body.part,
                   "the part of body " + in_quotes(body.name));
      for (int h = 0; h < count(body.holes); ++h) {
        const Hole &old_hole = at(at(old.bodies, b).holes, h), &hole = at(body.holes, h);
        TomlPath place = path("body", body.name, "holes");
        place.emplace_back(hole.name);
        const std::string thing = "the place of " + in_quotes(body.name + "." + hole.name);
        for (const int axis : {0, 1}) compare_mm(element_of(place, axis), old_hole.p_B[axis], hole.p_B[axis], thing);
      }
    }
    for (int r = 0; r < count(linkage.rods); ++r) {
      const Rod &old_rod = at(old.rods, r), &rod = at(linkage.rods, r);
      const std::string thing = "the length of rod " + in_quotes(rod.name);
      compare_mm(path("rod", rod.name, "length"), old_rod.length_mm, rod.length_mm, thing);
      compare_part(path("rod", rod.name, "part"), old_rod.part, rod.part, thing);
      if (!rod.height_mm) continue;
      const TomlPath height = path("rod", rod.name, "height");
      const std::string heights = "the height of rod " + in_quotes(rod.name);
      if (!old_rod.height_mm) result.push_back({height, *rod.height_mm, heights});
      for (const int end : {0, 1})
        if (old_rod.height_mm)
          compare_mm(element_of(height, end), at(*old_rod.height_mm, end), at(*rod.height_mm, end), heights);
    }
    for (int s = 0; s < count(linkage.springs); ++s) {
      const Spring &old_spring = at(old.springs, s), &spring = at(linkage.springs, s);
      const std::string thing = "spring " + in_quotes(spring.name);
      compare_part(path("spring", spring.name, "part"), old_spring.part, spring.part, thing);
      if (spring.count != old_spring.count) {
        result.push_back({path("spring", spring.name, "count"), spring.count, thing});
      }
    }
    for (int w = 0; w < count(linkage.wheels); ++w) {
      const Wheel& wheel = at(linkage.wheels, w);
      compare_part(path("wheel", wheel.name, "part"), at(old.wheels, w).part, wheel.part,
                   "the tyre of wheel " + in_quotes(wheel.name));
    }
  }
  return result;
}

/// A text on its way to say what another model says.
struct Editing {
  const Model& before;
  TomlDocument document;
  std::vector<Problem> problems = {};  ///< nothing more is written after the first
};

void make(Editing& editing, const TomlEdit& what, const std::string& thing) {
  if (editing.problems.empty() && !edit(editing.document, what)) editing.problems.push_back(cannot_edit(thing));
}

void write_text(Editing& editing, const TomlPath& where, const std::string& text, const std::string& thing) {
  make(editing, WriteToken{where, text_token(text, token_at(editing.document, where))}, thing);
}

/// Turns the keys of a spring or tyre written in place into one `part`, still to be written.
void name_a_part_in_place_of_keys(Editing& editing, const TomlPath& part, const std::string& thing) {
  const auto sibling = [&](std::string_view key) {
    TomlPath path = part;
    path.back() = std::string(key);
    return path;
  };
  const bool is_spring = part[2] == TomlPath::value_type("spring");
  make(editing, RenameKey{sibling(is_spring ? "kind" : "diameter_mm"), "part"}, thing);
  Coil coil;  // a band's keys are among its own
  Tyre tyre;
  for (const KnownKey& key : is_spring ? keys_of(coil) : keys_of(tyre)) {
    if (value_at(editing.document, sibling(key.name))) make(editing, TakeOut{sibling(key.name)}, thing);
  }
}

void write_difference(Editing& editing, const Difference& difference) {
  const auto& [path, wanted, thing] = difference;
  const bool is_there = value_at(editing.document, path) != nullptr;
  if (const auto* length_mm = std::get_if<double>(&wanted)) {
    const std::string token = modules_token(*length_mm, editing.before.module_mm, token_at(editing.document, path));
    make(editing, WriteToken{path, token}, thing);
  } else if (const auto* number = std::get_if<int>(&wanted)) {
    make(editing, WriteToken{path, std::to_string(*number)}, thing);
  } else if (const auto* two = std::get_if<std::array<double, 2>>(&wanted)) {
    const auto token = [&](double mm) { return modules_token(mm, editing.before.module_mm, ""); };
    make(editing, WriteToken{path, fmt::format("[{}, {}]", token((*two)[0]), token((*two)[1]))}, thing);
  } else if (const auto& part = std::get<std::string>(wanted); !part.empty()) {
    const bool has_own_keys = path[2] == TomlPath::value_type("spring") || path[2] == TomlPath::value_type("wheel");
    if (has_own_keys && !is_there) name_a_part_in_place_of_keys(editing, path, thing);
    write_text(editing, path, part, thing);
  } else if (is_there) {
    make(editing, TakeOut{path}, thing);
  }
}

void write_removals(Editing& editing, const Changes& changes) {
  const Model& model = editing.before;
  const Removals gone = removals(model, changes);
  const auto take_out_all = [&](const TomlPath& list, const std::vector<int>& indices, const auto& thing) {
    for (const int i : indices) make(editing, TakeOut{element_of(list, i)}, thing(i));
  };
  const auto tune = [](int) { return "[tune] without the removed spring"; };
  take_out_all({"tune", "vary"}, gone.vary, tune);
  take_out_all({"tune", "want"}, gone.wants, tune);
  take_out_all({"tune", "need"}, gone.needs, tune);
  for (const RemoveSpring& each : gone.springs) {
    const std::string& name = thing_of(model, each).name;
    make(editing, TakeOut{{"linkage", at(model.linkages, each.linkage).name, "spring", name}},
         "the removal of spring " + in_quotes(name));
  }
  take_out_all({"bar"}, gone.bars,
               [&](int bar) { return "the removal of bar " + in_quotes(at(model.bars, bar).name); });
}

/// A part that no catalogue has would have no law, no holes, no diameter.
std::optional<Problem> unknown_part(const Model& model, const Changes& changes) {
  const auto part_of = [&](const std::string& name) {
    const auto found = model.catalogue.find(name);
    return found == model.catalogue.end() ? nullptr : &found->second;
  };
  const auto refuse = [](const std::string& part, const char* what, const std::string& name, const char* hint) {
    Problem problem = cannot_edit(fmt::format("part {} for {} {}", in_quotes(part), what, in_quotes(name)));
    problem.hint = hint;
    return std::optional(problem);
  };
  const auto look_at = Overloaded{
      [&](const SetSpring& set) {
        const Spring& spring = thing_of(model, set);
        const Part* part = part_of(set.part);
        if (set.part.empty() || (part && takes(spring, *part))) return std::optional<Problem>();
        return refuse(set.part, "spring", spring.name,
                      "a spring's part is a coil or band of the catalogue; a torsion spring takes none");
      },
      [&](const SetPart& set) {
        const Body& body = thing_of(model, set);
        if (!body.part.empty() && part_with_holes(model.catalogue, set.part)) return std::optional<Problem>();
        return refuse(set.part, "body", body.name,
                      "a body's part is a beam or other part of the catalogue that says where its holes are; it is "
                      "exchanged where the text has one, and is not 'built'");
      },
      [&](const SetTyre& set) {
        const Part* part = part_of(set.part);
        if (part && std::holds_alternative<Tyre>(part->data)) return std::optional<Problem>();
        return refuse(set.part, "wheel", thing_of(model, set).name, "a wheel's part is a tyre of the catalogue");
      },
      [](const auto&) { return std::optional<Problem>(); }};
  for (const Change& each : changes)
    if (auto problem = std::visit(look_at, each)) return problem;
  return std::nullopt;
}

bool have_the_same_names(const Linkage& a, const Linkage& b) {
  const auto same_body = [](const Body& x, const Body& y) {
    return x.name == y.name && names_of(x.holes) == names_of(y.holes);
  };
  const auto same_spring = [](const Spring& x, const Spring& y) {
    return x.name == y.name && x.data.index() == y.data.index();
  };
  return std::equal(a.bodies.begin(), a.bodies.end(), b.bodies.begin(), b.bodies.end(), same_body) &&
         names_of(a.rods) == names_of(b.rods) && names_of(a.wheels) == names_of(b.wheels) &&
         std::equal(a.springs.begin(), a.springs.end(), b.springs.begin(), b.springs.end(), same_spring);
}

/// Whether two models are alike in everything that a change can touch.
bool alike(const Model& a, const Model& b) {
  const auto asked = [](const Model& model) {
    return model.tune ? model.tune->vary.size() + model.tune->wants.size() + model.tune->needs.size() : 0;
  };
  return asked(a) == asked(b) && a.corners.size() == b.corners.size() && names_of(a.bars) == names_of(b.bars) &&
         std::equal(a.linkages.begin(), a.linkages.end(), b.linkages.begin(), b.linkages.end(), have_the_same_names) &&
         differences(a, b).empty();
}

/// What the changed text says, read as any other.
std::vector<Problem> check_again(const std::string& text, const std::string& path, const Model& wanted) {
  ReadModel read = read_model_text(text, path);
  if (!read.problems.empty()) {
    // Its line is one of a text that no one has seen.
    Problem problem = read.problems.front();
    problem.text = "with the change, " + problem.text;
    return {problem};
  }
  if (!alike(*read.model, wanted)) return {cannot_edit("the change")};
  return {};
}

}  // namespace

EditedText edit_text(std::string_view text, const Model& model, const Changes& changes,
                     const std::string& target_path) {
  if (const auto problem = unknown_part(model, changes)) return {"", {*problem}};
  std::optional<TomlDocument> document = open_toml(std::string(text));
  if (!document) return {"", {cannot_edit("the change")}};

  Changes staying;  // all but the removals, whose indices are those of the model before any change
  std::copy_if(changes.begin(), changes.end(), std::back_inserter(staying), [](const Change& each) {
    return !std::holds_alternative<RemoveSpring>(each) && !std::holds_alternative<RemoveBar>(each);
  });
  Editing editing{model, std::move(*document)};
  for (const Difference& each : differences(model, changed(model, staying))) write_difference(editing, each);
  write_removals(editing, changes);
  const std::string& source_path = model.files.front();
  const std::string& path = target_path.empty() ? source_path : target_path;
  for (const auto& [where, name] : paths_for_another_folder(editing.document, source_path, path)) {
    write_text(editing, where, name, "the path " + in_quotes(name));
  }
  if (!editing.problems.empty()) return {"", std::move(editing.problems)};
  std::vector<Problem> problems = check_again(editing.document.text, path, changed(model, changes));
  if (!problems.empty()) return {"", std::move(problems)};
  return {std::move(editing.document.text), {}};
}

std::vector<Problem> write_edited_copy(const Model& model, const Changes& changes, const std::string& target_path,
                                       bool overwrite) {
  EditedText edited = edit_text(*model.text, model, changes, target_path);
  if (!edited.problems.empty()) return edited.problems;
  const std::optional<Problem> failed = same_file(target_path, model.files.front())
                                            ? replace_file(target_path, *model.text, edited.text)
                                        : overwrite ? write_file(target_path, edited.text)
                                                    : create_file(target_path, edited.text);
  if (failed) return {*failed};
  return {};
}

}  // namespace ridepitch
