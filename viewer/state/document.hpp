#pragma once
// The open model: what was read, what was changed since, what the library says of it, undo and redo, the file on disk.
//
// All changes are against the text as it was read (a `Base`), however often it was saved since. So undo works across saves,
// and what is saved is always the builder's own text with the changed values in it.

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "model/change.hpp"
#include "state/solved.hpp"

namespace ridepitch::view {

/// Whether two changes are of one thing: the same hole, rod, spring or bar.
bool same_thing(const Change& a, const Change& b);

/// `old` with `more` made on top. What is then as the base has it is left out; order is that in which things were first
/// touched.
Changes merged(const Model& base, const Changes& old, const Changes& more);

/// A model as it was read.
struct Base {
  std::string path;  ///< empty: it has no file (the demo that comes with the program)
  std::string text;
  Model model;
  std::vector<Problem> notes;
};

/// One step of the history.
struct Step {
  std::shared_ptr<const Base> base;
  Changes changes;
  SolvedPtr before;   ///< what is compared with: the model on opening, or one that was pinned; may be null
  std::string words;  ///< what this step did: "hole chassis.seat: [-4, 9] -> [-5, 8]"
};

/// What became of the file on disk.
enum class DiskState {
  same,
  reloaded,  ///< it was changed, and read again: nothing was unsaved
  changed,   ///< it was changed, but not read again, because something here is unsaved
  broken,    ///< it was changed and can't be read: file_problems
  gone,
};

struct Document {
  std::vector<Step> steps;
  std::size_t at = 0;

  Changes tried;  ///< shown now: those of the step, or what a hand is trying
  bool trying = false;
  SolvedPtr shown;                       ///< the last that has a solution; null: there was none yet
  std::shared_ptr<const Base> shown_of;  ///< of `shown`: an older one where the file changed and has no solution now
  std::vector<Problem> why_not;          ///< what is tried has no solution; empty: `shown` is it

  std::string disk_text;               ///< the file as it was last read or written here
  std::vector<Problem> file_problems;  ///< the file on disk can't be read; the last good state stays
  DiskState disk = DiskState::same;
  std::optional<std::size_t> saved_step;  ///< none: what was saved is no step any more

  const Step& step() const { return steps[at]; }
  const Base& base() const { return *steps[at].base; }
};

struct OpenedDocument {
  std::optional<Document> document;  ///< none if the text can't be read as a model
  std::vector<Problem> problems;     ///< why
};

/// Reads and solves a model. A model without solution opens too, with `why_not` and nothing shown.
OpenedDocument open_document(const std::string& path);

/// The same of text that has no file: it can be saved as a copy only.
OpenedDocument open_text(const std::string& text, const std::string& name);

/// The model as it is tried now: also where it has no solution.
Model tried_model(const Document& document);

/// Shows the step with more changes, without making them a step. @returns whether it has a solution
bool try_changes(Document& document, const Changes& more, Detail detail);

/// Makes what is tried a step of the history, solved in full. If nothing differs, or there is no solution, the step
/// is shown again instead.
/// @returns whether there is a new step
bool keep_tried(Document& document);

/// Discards what is tried.
void give_up(Document& document);

/// try_changes and keep_tried in one. @returns whether there is a new step
bool make_changes(Document& document, const Changes& more);

/// What is shown now becomes what is compared with. A step of the history.
void pin_before(Document& document);

bool can_undo(const Document& document);
bool can_redo(const Document& document);
void undo(Document& document);
void redo(Document& document);

/// What is on screen differs from what was last read or saved.
bool unsaved(const Document& document);

/// Writes the step into its file, comments and spacing kept.
/// @param over_changed  also where the file has changed on disk since
/// @returns what is wrong; empty: it is written
std::vector<Problem> save(Document& document, bool over_changed = false);

/// Writes the step into another file. The document keeps its own file.
/// @param replace  also where there is a file of that name
std::vector<Problem> save_copy(const Document& document, const std::string& path, bool replace = false);

/// Looks at the file and reads it again where nothing would be lost. The state before is a step back.
DiskState look_at_disk(Document& document);

/// Reads the file again, whatever is unsaved here: that is a step back. @returns whether it could be read
bool reload(Document& document);

/// Writes the sheet of what is shown, against the state before where that is another one: what to change from there.
/// @param date  ISO 8601, "2026-11-28"
/// @param replace  also where there is a file of that name
/// @returns what is wrong; empty: it is written
std::vector<Problem> save_sheet(const Document& document, const std::string& path, const std::string& date,
                                bool replace = false);

}  // namespace ridepitch::view
