#pragma once
// Commands that a page of Markdown shows together with what they print.
//
// In a fence that opens with ```console, a line "$ ridepitch ..." is a command, and the lines after it, up to the next
// "$ " or the end of the fence, are its output: standard output and standard error, as on a terminal. A line "..." stands
// for any number of lines left out. Other commands ("$ ./dev test") are not run.

#include <string>
#include <vector>

#include "rigs/files.hpp"

namespace ridepitch::docs {

using Lines = std::vector<std::string>;

struct ShownCommand {
  std::string command;  ///< without its "$ "
  int line = 0;         ///< of the command in its page, from 1
  Lines shown = {};     ///< what the page says that it prints
};

/// Another kind of fence, for tests that want its text.
struct Fence {
  std::string kind;  ///< what follows the opening backticks: "console", "toml"; may be empty
  int line = 0;      ///< of the opening backticks, from 1
  bool closed = false;
  Lines text = {};
};

/// All fences of a page, in order. Only fences that start in the first column count.
std::vector<Fence> fences(const std::string& page);

/// The commands of all console fences of a page, in order.
std::vector<ShownCommand> shown_commands(const std::string& page);

/// Whether the shown lines are the real ones, "..." standing for any number of them.
bool agrees(const Lines& shown, const Lines& real);

struct Output {
  Lines lines;
  int status = 0;  ///< exit status as the shell gives it: 127 not found, 128 + n killed by signal n
};

/// A scratch folder that looks like the repository's root to a command: models/, shared/ and docs/ are copies,
/// so that what a command writes does not stay. Removed with the object.
class ScratchRoot {
 public:
  ScratchRoot();

  /// Runs a shell command in it in which `ridepitch` is the program just built.
  Output run(const std::string& command) const;

  std::string path() const { return folder.path.string(); }

 private:
  Folder folder;
};

/// README.md, DEVELOPERS.md and docs/*.md, as paths from the repository's root.
std::vector<std::string> pages();

/// The text of a file, by its path from the repository's root.
std::string read_text(const std::string& page);

}  // namespace ridepitch::docs
