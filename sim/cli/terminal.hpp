#pragma once
// A conversation at a terminal.

#include "cli/page.hpp"
#include "interview/ask.hpp"

namespace ridepitch {

/// While it lives, Ctrl-C ends reading, or a search, instead of the program; a second one ends the program.
class Interruptible {
 public:
  Interruptible();
  ~Interruptible();
  Interruptible(const Interruptible&) = delete;
  Interruptible& operator=(const Interruptible&) = delete;

  static bool interrupted();  ///< Ctrl-C was typed
};

/// Where questions can be shown while answers are read from standard input: standard output, or standard error where that
/// is no terminal or is kept for JSON.
///
/// @returns the descriptor, or -1 where standard input or both others are no terminal
int terminal_for_questions(bool keep_output);

/// Asks on a descriptor, reads from standard input. Texts are wrapped to the page.
Dialogue terminal_dialogue(int descriptor, const Ink& ink);

}  // namespace ridepitch
