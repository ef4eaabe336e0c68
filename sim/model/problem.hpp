#pragma once
// What is wrong with a text, and where: errors are values up to the edge of the program.

#include <string>

namespace ridepitch {

/// A spot in a text file. Line and column count from 1; the column counts code points, a tab is one.
struct Place {
  int file = -1;   ///< index into Model::files; -1: no file
  int line = 0;    ///< 0: the file as a whole
  int column = 0;  ///< 0: the line as a whole
  int width = 0;   ///< code points to underline; 0 or 1: just a caret

  friend bool operator==(const Place&, const Place&) = default;
};

/// What a problem means for the exit status of a command.
enum class Fault {
  text,         ///< the text is at fault (exit status 2)
  no_solution,  ///< the text is right but has no solution (exit status 3)
  verdict,      ///< the text is right and has an answer, which is no (exit status 1)
};

/// One thing that is wrong: where, what in the file's own names, and the way out.
struct Problem {
  Place place = {};
  std::string code = {};       ///< stable short name, "unknown-key"
  std::string text = {};       ///< what is wrong, in one line
  std::string hint = {};       ///< what to do; may be empty
  std::string file_name = {};  ///< as the user named it; empty: no file
  std::string line_text = {};  ///< the line itself, for display; empty: none
  Fault fault = Fault::text;
};

}  // namespace ridepitch
