#include "model/edit.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

#include <fmt/format.h>

#include "model/edit_paths.hpp"
#include "model/number_token.hpp"
#include "model/read.hpp"
#include "model/read_parts.hpp"
#include "model/reading.hpp"
#include "model/text_file.hpp"
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

/// A text on its way to say what another model says.
struct Editing {
  const Model& before;
  TomlDocument document;
  std::vector<Problem> problems = {};  ///< nothing more is written after the first
};

void make(Editing& editing, const TomlEdit& what, const std::string& thing) {
  if (editing.problems.empty() && !edit(editing.document, what)) editing.problems.push_back(cannot_edit(thing));
}

void write_token(Editing& editing, const TomlPath& where, const std::string& token, const std::string& thing) {
  if (token_at(editing.document, where) != token) make(editing, WriteToken{where, token}, thing);
}

void write_text(Editing& editing, const TomlPath& where, const std::string& text, const std::string& thing) {
  write_token(editing, where, text_token(text, token_at(editing.document, where)), thing);
}

void write_modules(Editing& editing, const TomlPath& where, double old_mm, double new_mm, const std::string& thing) {
  if (old_mm == new_mm) return;
  const std::string_view old_token = token_at(editing.document, where);
  write_token(editing, where, modules_token(new_mm, editing.before.module_mm, old_token), thing);
}

void take_out(Editing& editing, const TomlPath& where, const std::string& thing) {
  if (value_at(editing.document, where)) make(editing, TakeOut{where}, thing);
}

TomlPath element_of(TomlPath list, int index) {
  list.emplace_back(static_cast<std::size_t>(index));
  return list;
}

void write_hole(Editing& editing, const std::string& linkage, const std::string& body, const Hole& old,
                const Hole& hole) {
  const std::string thing = "the place of " + in_quotes(body + "." + hole.name);
  const TomlPath at = {"linkage", linkage, "body", body, "holes", hole.name};
  for (const int axis : {0, 1}) {
    write_modules(editing, element_of(at, axis), old.p_B[axis], hole.p_B[axis], thing);
  }
}

void write_rod(Editing& editing, const std::string& linkage, const Rod& old, const Rod& rod) {
  const std::string thing = "the length of rod " + in_quotes(rod.name);
  write_modules(editing, {"linkage", linkage, "rod", rod.name, "length"}, old.length_mm, rod.length_mm, thing);
  const TomlPath part = {"linkage", linkage, "rod", rod.name, "part"};
  if (rod.part == old.part) return;
  if (rod.part.empty()) {
    take_out(editing, part, thing);
  } else {
    write_text(editing, part, rod.part, thing);
  }
}

void write_spring(Editing& editing, const std::string& linkage, const Spring& old, const Spring& spring) {
  const std::string thing = "spring " + in_quotes(spring.name);
  const auto path = [&](std::string_view key) {
    return TomlPath{"linkage", linkage, "spring", spring.name, std::string(key)};
  };
  if (spring.part != old.part) {
    if (old.part.empty()) {  // its keys are written in place
      make(editing, RenameKey{path("kind"), "part"}, thing);
      Coil coil;  // a band's keys are among its own
      for (const KnownKey& key : keys_of(coil)) take_out(editing, path(key.name), thing);
    }
    write_text(editing, path("part"), spring.part, thing);
  }
  if (spring.count != old.count) write_token(editing, path("count"), std::to_string(spring.count), thing);
}

/// Writes what the two models differ in. Nothing of `wanted` has been removed yet.
void write_differences(Editing& editing, const Model& wanted) {
  for (int l = 0; l < count(wanted.linkages); ++l) {
    const Linkage &old = at(editing.before.linkages, l), &linkage = at(wanted.linkages, l);
    for (int b = 0; b < count(linkage.bodies); ++b) {
      const Body &old_body = at(old.bodies, b), &body = at(linkage.bodies, b);
      for (int h = 0; h < count(body.holes); ++h) {
        write_hole(editing, linkage.name, body.name, at(old_body.holes, h), at(body.holes, h));
      }
    }
    for (int r = 0; r < count(linkage.rods); ++r)
      write_rod(editing, linkage.name, at(old.rods, r), at(linkage.rods, r));
    for (int s = 0; s < count(linkage.springs); ++s) {
      write_spring(editing, linkage.name, at(old.springs, s), at(linkage.springs, s));
    }
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

/// A part that no catalogue has would have no law.
std::optional<Problem> unknown_part(const Model& model, const Changes& changes) {
  for (const Change& each : changes) {
    const auto* set = std::get_if<SetSpring>(&each);
    if (!set || set->part.empty()) continue;
    const Spring& spring = thing_of(model, *set);
    const auto found = model.catalogue.find(set->part);
    if (found != model.catalogue.end() && takes(spring, found->second)) continue;
    Problem problem = cannot_edit(fmt::format("part {} for spring {}", in_quotes(set->part), in_quotes(spring.name)));
    problem.hint = "a spring's part is a coil or band of the catalogue; a torsion spring takes none";
    return problem;
  }
  return std::nullopt;
}

bool as_long(double a_mm, double b_mm) {
  const double rounding = 1e-12;
  return std::abs(a_mm - b_mm) <= rounding * std::max(std::abs(a_mm), std::abs(b_mm));
}

/// Whether two linkages are alike in everything that a change can touch.
bool alike(const Linkage& a, const Linkage& b) {
  const auto same_hole = [](const Hole& x, const Hole& y) {
    return x.name == y.name && as_long(x.p_B.x(), y.p_B.x()) && as_long(x.p_B.y(), y.p_B.y());
  };
  const auto same_body = [&](const Body& x, const Body& y) {
    return x.name == y.name && std::equal(x.holes.begin(), x.holes.end(), y.holes.begin(), y.holes.end(), same_hole);
  };
  const auto same_rod = [](const Rod& x, const Rod& y) {
    return x.name == y.name && as_long(x.length_mm, y.length_mm) && x.part == y.part;
  };
  const auto same_spring = [](const Spring& x, const Spring& y) {
    return x.name == y.name && x.part == y.part && x.count == y.count && x.data.index() == y.data.index();
  };
  return std::equal(a.bodies.begin(), a.bodies.end(), b.bodies.begin(), b.bodies.end(), same_body) &&
         std::equal(a.rods.begin(), a.rods.end(), b.rods.begin(), b.rods.end(), same_rod) &&
         std::equal(a.springs.begin(), a.springs.end(), b.springs.begin(), b.springs.end(), same_spring);
}

bool alike(const Model& a, const Model& b) {
  const auto asked = [](const Model& model) {
    return model.tune ? model.tune->vary.size() + model.tune->wants.size() + model.tune->needs.size() : 0;
  };
  return asked(a) == asked(b) && a.corners.size() == b.corners.size() &&
         std::equal(a.linkages.begin(), a.linkages.end(), b.linkages.begin(), b.linkages.end(),
                    [](const Linkage& x, const Linkage& y) { return alike(x, y); }) &&
         std::equal(a.bars.begin(), a.bars.end(), b.bars.begin(), b.bars.end(),
                    [](const Bar& x, const Bar& y) { return x.name == y.name; });
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
  write_differences(editing, changed(model, staying));
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

std::vector<Problem> write_edited_copy(const Model& model, const Changes& changes, const std::string& target_path) {
  const std::string& source_path = model.files.front();
  const FileText source = read_file_text(source_path, false);
  if (!source.why_not.empty()) {
    return {
        {.code = "not-readable", .text = fmt::format("{} can't be read: {}", in_quotes(source_path), source.why_not)}};
  }
  EditedText edited = edit_text(source.text, model, changes, target_path);
  if (!edited.problems.empty()) return edited.problems;
  if (const std::optional<Problem> failed = write_file(target_path, edited.text)) return {*failed};
  return {};
}

}  // namespace ridepitch
