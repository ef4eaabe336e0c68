#include "state/document.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <array>
#include <filesystem>
#include <utility>

#include "model/edit.hpp"
#include "model/read.hpp"
#include "model/text_file.hpp"
#include "model/write_file.hpp"
#include "sheet/ink.hpp"
#include "swap/change_words.hpp"
#include "swap/compare.hpp"

namespace ridepitch::view {
namespace {

/// A change's kind, and the indices of what it changes.
std::array<int, 4> thing_of(const Change& change) {
  struct Indices {
    std::array<int, 3> operator()(const MoveHole& c) const { return {c.linkage, c.body, c.hole}; }
    std::array<int, 3> operator()(const SetLength& c) const { return {c.linkage, c.rod}; }
    std::array<int, 3> operator()(const SetSpring& c) const { return {c.linkage, c.spring}; }
    std::array<int, 3> operator()(const RemoveSpring& c) const { return {c.linkage, c.spring}; }
    std::array<int, 3> operator()(const RemoveBar& c) const { return {c.bar}; }
    std::array<int, 3> operator()(const SetPart& c) const { return {c.linkage, c.body}; }
    std::array<int, 3> operator()(const SetTyre& c) const { return {c.linkage, c.wheel}; }
    std::array<int, 3> operator()(const SetRodHeight& c) const { return {c.linkage, c.rod}; }
  };
  const auto [a, b, c] = std::visit(Indices{}, change);
  return {static_cast<int>(change.index()), a, b, c};
}

/// A spring's change with an empty part keeps the part that the change before it chose.
void keep_part(const Change& old, Change& later) {
  const auto* before = std::get_if<SetSpring>(&old);
  auto* after = std::get_if<SetSpring>(&later);
  if (before && after && after->part.empty()) after->part = before->part;
}

struct BaseOrProblems {
  std::shared_ptr<const Base> base;
  std::vector<Problem> problems;
};

Problem cannot_read(const std::string& path, const std::string& why) {
  return {.code = "cannot-read",
          .text = fmt::format("it can't be read: {}", why),
          .hint = "check the name",
          .file_name = path};
}

/// @param name  what messages call a text without a file
BaseOrProblems base_of_text(std::string text, const std::string& path, const std::string& name = "") {
  ReadModel read = read_model_text(text, path.empty() ? name : path);
  if (!read.model) return {nullptr, std::move(read.problems)};
  return {std::make_shared<const Base>(Base{path, std::move(text), std::move(*read.model), std::move(read.notes)}), {}};
}

void show(Document& document, Detail detail) {
  SolvedOrProblems result = solve_changed(document.base().model, document.tried, detail);
  document.why_not = std::move(result.problems);
  if (!result.solved) return;
  document.shown = std::move(result.solved);
  document.shown_of = document.step().base;
}

void go_to(Document& document, std::size_t at) {
  document.at = at;
  document.trying = false;
  document.tried = document.step().changes;
  show(document, Detail::full);
}

void add_step(Document& document, Step step) {
  if (document.saved_step && *document.saved_step > document.at) document.saved_step.reset();
  document.steps.resize(document.at + 1);
  document.steps.push_back(std::move(step));
  ++document.at;
}

/// What the step changed against the one before it.
std::string words_for(const Document& document, const Changes& now) {
  const Changes& was = document.step().changes;
  std::vector<std::string> words;
  const Model from = changed(document.base().model, was);
  for (const Change& each : now)
    if (std::find(was.begin(), was.end(), each) == was.end()) words.push_back(change_words(from, each));
  for (const Change& each : was)
    if (std::none_of(now.begin(), now.end(), [&](const Change& other) { return same_thing(other, each); }))
      words.push_back(fmt::format("{} back as it was", changed_thing(document.base().model, each)));
  if (words.empty()) return "";
  return words.size() == 1 ? words.front() : fmt::format("{} and {} more", words.front(), words.size() - 1);
}

std::vector<Problem> there_already(const std::string& path) {
  return {{.code = "exists",
           .text = "there is a file of that name already; nothing was written",
           .hint = "take another name, or say that it is to be replaced",
           .file_name = path}};
}

std::vector<Problem> changed_on_disk(Document& document) {
  document.disk = DiskState::changed;
  return {{.code = "changed-on-disk",
           .text = "another program has changed the file since it was read; nothing was written",
           .hint = "save a copy, read it again, or save over it",
           .file_name = document.base().path}};
}

/// @param written  the text that went into the file
/// @param write    puts a text there
template <class Write>
std::vector<Problem> write_step(const Document& document, const std::string& path, std::string* written,
                                const Write& write) {
  const Base& base = document.base();
  EditedText edited = edit_text(base.text, base.model, document.step().changes, path == base.path ? "" : path);
  if (!edited.problems.empty()) return std::move(edited.problems);
  if (auto problem = write(edited.text)) return {std::move(*problem)};
  if (written) *written = std::move(edited.text);
  return {};
}

/// Takes what is on disk now as a new step.
bool take_from_disk(Document& document, std::string text) {
  BaseOrProblems read = base_of_text(text, document.base().path);
  document.disk_text = std::move(text);
  document.file_problems = std::move(read.problems);
  document.disk = read.base ? DiskState::same : DiskState::broken;
  if (!read.base) return false;
  add_step(document, {std::move(read.base), {}, document.step().before, "read again from disk"});
  document.saved_step = document.at;
  go_to(document, document.at);
  return true;
}

OpenedDocument document_of(BaseOrProblems read, std::string disk_text) {
  if (!read.base) return {std::nullopt, std::move(read.problems)};
  Document document;
  document.disk_text = std::move(disk_text);
  document.steps.push_back({std::move(read.base), {}, nullptr, "opened"});
  document.saved_step = 0;
  go_to(document, 0);
  document.steps.front().before = document.shown;
  return {std::move(document), {}};
}

}  // namespace

bool same_thing(const Change& a, const Change& b) { return thing_of(a) == thing_of(b); }

Changes merged(const Model& base, const Changes& old, const Changes& more) {
  Changes out = old;
  for (Change each : more) {
    const auto found = std::find_if(out.begin(), out.end(), [&](const Change& o) { return same_thing(o, each); });
    if (found == out.end()) {
      out.push_back(std::move(each));
    } else {
      keep_part(*found, each);
      *found = std::move(each);
    }
  }
  std::erase_if(out, [&](const Change& each) { return is_already_so(base, each); });
  return out;
}

OpenedDocument open_document(const std::string& path) {
  FileText file = read_file_text(path, false);
  if (!file.why_not.empty()) return {std::nullopt, {cannot_read(path, file.why_not)}};
  BaseOrProblems read = base_of_text(file.text, path);
  return document_of(std::move(read), std::move(file.text));
}

OpenedDocument open_text(const std::string& text, const std::string& name) {
  return document_of(base_of_text(text, "", name), text);
}

Model tried_model(const Document& document) {
  if (document.why_not.empty() && document.shown) return document.shown->model;
  return changed(document.base().model, document.tried);
}

bool try_changes(Document& document, const Changes& more, Detail detail) {
  Changes wanted = merged(document.base().model, document.step().changes, more);
  if (document.trying && wanted == document.tried && detail == Detail::dragging) return document.why_not.empty();
  document.tried = std::move(wanted);
  document.trying = true;
  show(document, detail);
  return document.why_not.empty();
}

bool keep_tried(Document& document) {
  if (!document.trying || document.tried == document.step().changes || !document.why_not.empty()) {
    give_up(document);
    return false;
  }
  Step step = document.step();
  step.changes = document.tried;
  step.words = words_for(document, document.tried);
  add_step(document, std::move(step));
  go_to(document, document.at);
  if (!document.steps[document.at].before) document.steps[document.at].before = document.shown;
  return true;
}

void give_up(Document& document) {
  if (document.trying) go_to(document, document.at);
}

bool make_changes(Document& document, const Changes& more) {
  give_up(document);
  if (merged(document.base().model, document.step().changes, more) == document.step().changes) return false;
  // Without a solution it stays tried, so that the reason can be shown.
  return try_changes(document, more, Detail::full) && keep_tried(document);
}

void pin_before(Document& document) {
  give_up(document);
  if (!document.shown || !document.why_not.empty()) return;
  const bool was_saved = !unsaved(document);
  add_step(document, {document.step().base, document.step().changes, document.shown, "pinned as before"});
  if (was_saved) document.saved_step = document.at;
}

bool can_undo(const Document& document) { return document.at > 0 || document.trying; }
bool can_redo(const Document& document) { return document.at + 1 < document.steps.size(); }

void undo(Document& document) {
  if (document.trying) {
    give_up(document);
  } else if (document.at > 0) {
    go_to(document, document.at - 1);
  }
}

void redo(Document& document) {
  if (can_redo(document)) go_to(document, document.at + 1);
}

bool unsaved(const Document& document) {
  if (!document.saved_step) return true;
  const Step& saved = document.steps[*document.saved_step];
  return saved.base != document.step().base || saved.changes != document.step().changes;
}

std::vector<Problem> save(Document& document, bool over_changed) {
  give_up(document);
  const std::string& path = document.base().path;
  if (path.empty())
    return {{.code = "no-file",
             .text = "this is the demo that comes with the program; it has no file of its own",
             .hint = "save a copy under a name of your own"}};
  const FileText now = over_changed ? FileText{} : read_file_text(path, true);
  const bool differs = now.text != document.disk_text || !document.file_problems.empty();
  // What is there but can't be read may be anything; only what is gone is written anew.
  std::error_code none;
  const bool there = now.why_not.empty() || std::filesystem::exists(std::filesystem::symlink_status(path, none));
  if (!over_changed && there && differs) return changed_on_disk(document);
  const std::string was = document.disk_text;
  std::vector<Problem> problems = write_step(document, path, &document.disk_text, [&](const std::string& text) {
    if (over_changed) return write_file(path, text);
    return there ? replace_file(path, was, text) : create_file(path, text);
  });
  const auto lost_to_another = [](const Problem& each) {
    return each.code == "changed-meanwhile" || each.code == "exists";
  };
  if (std::any_of(problems.begin(), problems.end(), lost_to_another)) return changed_on_disk(document);
  if (!problems.empty()) return problems;
  document.saved_step = document.at;
  document.disk = DiskState::same;
  document.file_problems.clear();
  return {};
}

std::vector<Problem> save_copy(const Document& document, const std::string& path, bool replace) {
  if (would_replace(path) && !replace) return there_already(path);
  return write_step(document, path, nullptr, [&](const std::string& text) {
    return replace ? write_file(path, text) : create_file(path, text);
  });
}

DiskState look_at_disk(Document& document) {
  if (document.base().path.empty()) return DiskState::same;
  FileText file = read_file_text(document.base().path, true);
  if (!file.why_not.empty()) return document.disk = DiskState::gone;
  if (file.text == document.disk_text)
    return document.disk = document.file_problems.empty() ? DiskState::same : DiskState::broken;
  if (document.trying || unsaved(document)) return document.disk = DiskState::changed;
  return take_from_disk(document, std::move(file.text)) ? DiskState::reloaded : DiskState::broken;
}

bool reload(Document& document) {
  give_up(document);
  if (document.base().path.empty()) return false;
  FileText file = read_file_text(document.base().path, true);
  if (!file.why_not.empty()) {
    document.file_problems = {cannot_read(document.base().path, file.why_not)};
    return false;
  }
  return take_from_disk(document, std::move(file.text));
}

std::vector<Problem> save_sheet(const Document& document, const std::string& path, const std::string& date,
                                bool replace) {
  if (would_replace(path) && !replace) return there_already(path);
  if (!document.shown || !document.why_not.empty())
    return {{.code = "no-solution",
             .text = "what is tried has no solution, so there is no sheet of it",
             .hint = "undo, or mend what is told beside the drawing"}};
  const Solved& now = *document.shown;
  std::string file = std::filesystem::path(document.base().path).filename().string();
  if (unsaved(document) && !file.empty()) file += ", with changes that are not saved";
  const SheetFacts facts{"", file, date};
  const SolvedPtr& before = document.step().before;
  const bool differs = before && before != document.shown && before->model.bench == now.model.bench;
  const Sheet sheet = differs ? make_sheet(results_of(*before), results_of(now), compared(*before, now), {}, facts)
                              : make_sheet(results_of(now), facts);
  if (auto problem = write_sheet(path, sheet)) return {*problem};
  return {};
}

}  // namespace ridepitch::view
