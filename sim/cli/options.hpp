#pragma once
// What the command line asks for, as a plain struct with its defaults.

#include <string>
#include <vector>

namespace ridepitch {

enum class Command { check, solve };

struct Options {
  Command command = Command::check;
  std::vector<std::string> models;  ///< paths, one or more
  bool json = false;                ///< one JSON document on standard output, also on error
  std::string curves;               ///< file that `solve` writes its travel curves to; empty: none
  bool terse = false;               ///< leave out the lines that explain headings
};

}  // namespace ridepitch
