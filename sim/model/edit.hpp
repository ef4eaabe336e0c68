#pragma once
// Changes written into the builder's own text: only the changed values differ.

#include <string>
#include <string_view>
#include <vector>

#include "model/change.hpp"
#include "model/model.hpp"
#include "model/problem.hpp"

namespace ridepitch {

struct EditedText {
  std::string text;               ///< empty if there is any problem
  std::vector<Problem> problems;  ///< why it can't be written; then nothing is
};

/// Makes the changes in the text of a model, in place. Comments, spacing, order, line ends, a byte order mark and the
/// way numbers are written stay.
///
/// - A linkage stands in one place, however many corners use it.
/// - A count of 1 is not written where there was none.
/// - A spring written in place (kind = "coil", ...) that becomes a catalogue spring has its `kind` line turned into
///   `part`; its other keys go.
/// - So has a tyre written in place its `diameter_mm` line turned into `part`.
/// - A rod's `part` follows its length (change.hpp), and goes where the catalogue has none of that length.
/// - What is removed takes the comments right above it along, a table with a header those among its lines too. The comment
///   at the end of any other line that goes stays, on a line of its own. What [tune] says of a removed spring goes too.
/// - Where the result is for another folder, relative paths in `parts` and `prices` are written anew, unless the very
///   same file lies beside the target too.
///
/// The result is read again, and must say what `changed(model, changes)` says (lengths to 1e-12 of their size).
///
/// @param text         what `model` was read from
/// @param target_path  where the result will lie; empty: where the text lies
EditedText edit_text(std::string_view text, const Model& model, const Changes& changes,
                     const std::string& target_path = "");

/// Makes the changes in the text that a model was read from and writes that as a file, whole or not at all.
///
/// The model's own file, under whatever name, is replaced if it still says what was read; any other only with `overwrite`.
///
/// @returns what is wrong; empty: it is written
std::vector<Problem> write_edited_copy(const Model& model, const Changes& changes, const std::string& target_path,
                                       bool overwrite);

}  // namespace ridepitch
