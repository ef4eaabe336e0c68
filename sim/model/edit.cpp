#include "model/edit.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

#include <fmt/format.h>

#include "model/edit_paths.hpp"
#include "model/index.hpp"
#include "model/number_token.hpp"
#include "model/read.hpp"
#include "model/read_parts.hpp"
#include "model/reading.hpp"
#include "model/text_file.hpp"
#include "model/toml_edit.hpp"
#include "model/tune.hpp"
#include "model/write_file.hpp"

namespace ridepitch {
namespace {

/// "the change of rod 'pushrod' can't be written into the file"
Problem cannot_edit(const std::string& what) {
  Problem problem;
  problem.code = "edit";
  problem.text = fmt::format("{} can't be written into the text as it stands", what);
  problem.hint = "make that change by hand";
  return problem;
}

/// The text on its way from the one model to the other.
struct Editor {
  const Model& before;
  const Model& wanted;  ///< but with nothing removed yet
  TomlDocument document;
  std::vector<Problem> problems = {};

  void make(const TomlEdit& what, const std::string& thing) {
    if (problems.empty() && !edit(document, what)) problems.push_back(cannot_edit(thing));
  }

  TomlPath path(int linkage, std::initializer_list<std::string> rest) const {
    TomlPath result = {"linkage", at(before.linkages, linkage).name};
    for (const std::string& step : rest) result.emplace_back(step);
    return result;
  }

  void write(const TomlPath& where, const std::string& token, const std::string& thing) {
    if (problems.empty() && token_at(document, where) != token) make(WriteToken{where, token}, thing);
  }

  void write_text(const TomlPath& where, const std::string& text, const std::string& thing) {
    write(where, text_token(text, token_at(document, where)), thing);
  }

  void write_modules(const TomlPath& where, double old_mm, double new_mm, const std::string& thing) {
    if (old_mm == new_mm) return;
    write(where, modules_token(new_mm, before.module_mm, token_at(document, where)), thing);
  }

  void move_hole(const MoveHole& change) {
    const Body& body = at(at(before.linkages, change.linkage).bodies, change.body);
    const Hole& old = at(body.holes, change.hole);
    const Vec2& to_B_mm = at(at(at(wanted.linkages, change.linkage).bodies, change.body).holes, change.hole).p_B;
    for (const int axis : {0, 1}) {
      TomlPath where = path(change.linkage, {"body", body.name, "holes", old.name});
      where.emplace_back(static_cast<std::size_t>(axis));
      write_modules(where, old.p_B[axis], to_B_mm[axis],
                    fmt::format("the place of {}", in_quotes(body.name + "." + old.name)));
    }
  }

  void set_length(const SetLength& change) {
    const Rod& old = at(at(before.linkages, change.linkage).rods, change.rod);
    const Rod& rod = at(at(wanted.linkages, change.linkage).rods, change.rod);
    const std::string thing = "the length of rod " + in_quotes(rod.name);
    write_modules(path(change.linkage, {"rod", rod.name, "length"}), old.length_mm, rod.length_mm, thing);
    const TomlPath part = path(change.linkage, {"rod", rod.name, "part"});
    if (rod.part == old.part) return;
    if (rod.part.empty()) {
      if (value_at(document, part)) make(TakeOut{part}, thing);
    } else {
      write_text(part, rod.part, thing);
    }
  }

  void set_spring(const SetSpring& change) {
    const Spring& old = at(at(before.linkages, change.linkage).springs, change.spring);
    const Spring& spring = at(at(wanted.linkages, change.linkage).springs, change.spring);
    const std::string thing = "spring " + in_quotes(spring.name);
    const TomlPath part = path(change.linkage, {"spring", spring.name, "part"});
    if (spring.part != old.part) {
      if (old.part.empty()) name_a_part_in_place_of_keys(change.linkage, spring.name, thing);
      write_text(part, spring.part, thing);
    }
    if (spring.count != old.count) {
      write(path(change.linkage, {"spring", spring.name, "count"}), std::to_string(spring.count), thing);
    }
  }

  void name_a_part_in_place_of_keys(int linkage, const std::string& name, const std::string& thing) {
    const TomlPath kind = path(linkage, {"spring", name, "kind"});
    if (!value_at(document, kind)) return;  // done for an earlier change of the same spring
    make(RenameKey{kind, "part"}, thing);
    for (const std::string_view key : coil_keys()) {  // a band's are among them
      const TomlPath where = path(linkage, {"spring", name, std::string(key)});
      if (problems.empty() && value_at(document, where)) make(TakeOut{where}, thing);
    }
  }
};

/// Indices of what [tune] says of removed springs, the last first.
template <class Asked, class IsGone>
std::vector<std::size_t> indices_last_first(const std::vector<Asked>& list, const IsGone& is_gone) {
  std::vector<std::size_t> indices;
  for (std::size_t i = list.size(); i-- > 0;) {
    if (is_gone(list[i])) indices.push_back(i);
  }
  return indices;
}

void take_out_of_tune(Editor& editor, const std::vector<RemoveSpring>& removed) {
  const Model& model = editor.before;
  if (!model.tune || removed.empty()) return;
  const auto is_vary_gone = [&](const Vary& vary) {
    const auto* spring = std::get_if<VarySpring>(&vary.what);
    return spring &&
           std::find(removed.begin(), removed.end(), RemoveSpring{vary.linkage, spring->spring}) != removed.end();
  };
  const auto is_of_gone = [&](const auto& asked) {
    return std::any_of(removed.begin(), removed.end(),
                       [&](const RemoveSpring& each) { return is_of_removed_spring(model, asked.of, each); });
  };
  const auto take_out = [&](const char* list, const std::vector<std::size_t>& indices) {
    for (const std::size_t i : indices) {
      editor.make(TakeOut{{"tune", list, i}}, fmt::format("[tune] without the removed spring"));
    }
  };
  take_out("vary", indices_last_first(model.tune->vary, is_vary_gone));
  take_out("want", indices_last_first(model.tune->wants, is_of_gone));
  take_out("need", indices_last_first(model.tune->needs, is_of_gone));
}

/// Everything that takes nothing away but keys of a spring.
void make_changes(Editor& editor, const Changes& changes) {
  for (const Change& each : changes) {
    if (const auto* hole = std::get_if<MoveHole>(&each)) editor.move_hole(*hole);
    if (const auto* rod = std::get_if<SetLength>(&each)) editor.set_length(*rod);
    if (const auto* spring = std::get_if<SetSpring>(&each)) editor.set_spring(*spring);
  }
}

void remove_things(Editor& editor, const Changes& changes) {
  std::vector<RemoveSpring> springs;
  std::vector<int> bars;
  for (const Change& each : changes) {
    if (const auto* spring = std::get_if<RemoveSpring>(&each)) springs.push_back(*spring);
    if (const auto* bar = std::get_if<RemoveBar>(&each)) bars.push_back(bar->bar);
  }
  std::sort(bars.begin(), bars.end(), std::greater<>());
  bars.erase(std::unique(bars.begin(), bars.end()), bars.end());
  take_out_of_tune(editor, springs);
  for (std::size_t i = 0; i < springs.size(); ++i) {
    if (std::find(springs.begin(), springs.begin() + static_cast<std::ptrdiff_t>(i), springs[i]) !=
        springs.begin() + static_cast<std::ptrdiff_t>(i)) {
      continue;  // named twice
    }
    const std::string& name = at(at(editor.before.linkages, springs[i].linkage).springs, springs[i].spring).name;
    editor.make(TakeOut{editor.path(springs[i].linkage, {"spring", name})}, "the removal of spring " + in_quotes(name));
  }
  for (const int bar : bars) {
    editor.make(TakeOut{{"bar", static_cast<std::size_t>(bar)}},
                "the removal of bar " + in_quotes(at(editor.before.bars, bar).name));
  }
}

/// A part that no catalogue has would have no law.
std::optional<Problem> unknown_part(const Model& model, const Changes& changes) {
  for (const Change& each : changes) {
    const auto* set = std::get_if<SetSpring>(&each);
    if (!set || set->part.empty()) continue;
    const Spring& spring = at(at(model.linkages, set->linkage).springs, set->spring);
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
  const Model wanted = changed(model, staying);
  Editor editor{model, wanted, std::move(*document)};
  make_changes(editor, changes);
  remove_things(editor, changes);
  const std::string& source_path = model.files.front();
  const std::string& path = target_path.empty() ? source_path : target_path;
  for (const auto& [where, name] : paths_for_another_folder(editor.document, source_path, path)) {
    editor.write_text(where, name, "the path " + in_quotes(name));
  }
  if (!editor.problems.empty()) return {"", std::move(editor.problems)};
  std::vector<Problem> problems = check_again(editor.document.text, path, changed(model, changes));
  if (!problems.empty()) return {"", std::move(problems)};
  return {std::move(editor.document.text), {}};
}

std::vector<Problem> write_edited_copy(const Model& model, const Changes& changes, const std::string& target_path) {
  const std::string& source_path = model.files.front();
  const FileText source = read_file_text(source_path, false);
  if (!source.why_not.empty()) {
    Problem problem;
    problem.code = "not-readable";
    problem.text = fmt::format("{} can't be read: {}", in_quotes(source_path), source.why_not);
    return {problem};
  }
  EditedText edited = edit_text(source.text, model, changes, target_path);
  if (!edited.problems.empty()) return edited.problems;
  if (const std::optional<Problem> failed = write_file(target_path, edited.text)) return {*failed};
  return {};
}

}  // namespace ridepitch
