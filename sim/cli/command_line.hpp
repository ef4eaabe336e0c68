#pragma once
// From argv to Options.

#include <optional>
#include <string>
#include <vector>

#include "cli/options.hpp"
#include "model/problem.hpp"

namespace ridepitch {

/// One of the three is filled.
struct CommandLine {
  std::optional<Options> options;
  std::string text;                ///< help or version, to be printed
  std::optional<Problem> problem;  ///< a usage error, without a file
  bool json = false;               ///< --json stands somewhere: the error is wanted as JSON
};

/// "30", "30s", "10m" or "1h" in seconds; none where it is no time above 0.
std::optional<double> seconds_of(const std::string& time);

/// @param words  the words after the program's name
CommandLine parse_command_line(const std::vector<std::string>& words);

}  // namespace ridepitch
