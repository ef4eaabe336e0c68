#pragma once
// What the command line asks for, as a plain struct with its defaults.

#include <string>
#include <vector>

namespace ridepitch {

enum class Command { check, solve, parts, explain };

/// Of `parts`.
struct PartsOptions {
  bool list = false;  ///< show the catalogue
  std::string kind;   ///< of parts to list, as the user wrote it: "coil", "tyres"; empty: all
};

/// Of `explain`.
struct ExplainOptions {
  std::vector<std::string> words;  ///< those of one name, as the shell parts them; none: all of the glossary
};

struct Options {
  Command command = Command::check;
  std::vector<std::string> models;  ///< paths
  bool json = false;                ///< one JSON document on standard output, also on error
  std::string curves;               ///< file that `solve` writes its travel curves to; empty: none
  bool terse = false;               ///< leave out the lines that explain headings
  PartsOptions parts;
  ExplainOptions explain;
};

}  // namespace ridepitch
