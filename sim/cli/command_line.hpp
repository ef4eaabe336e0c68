#pragma once
// From argv to Options.

#include <optional>
#include <string>
#include <vector>

#include "cli/command.hpp"

namespace ridepitch {

/// One of `options`, `text` and `problem` is filled.
struct CommandLine {
  const Command* command = nullptr;  ///< that `options` are of
  std::optional<Options> options;
  std::string text;                ///< help or version, to be printed
  std::optional<Problem> problem;  ///< a usage error, without a file
  bool json = false;               ///< --json stands somewhere: the error is wanted as JSON
};

/// @param words  the words after the program's name
CommandLine parse_command_line(const std::vector<std::string>& words);

}  // namespace ridepitch
