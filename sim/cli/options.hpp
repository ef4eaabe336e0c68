#pragma once
// What the command line asks for, as a plain struct with its defaults.

#include <string>
#include <vector>

namespace ridepitch {

enum class Command { check, solve, swap };

/// What `swap` compares the model with, and how closely.
struct SwapOptions {
  std::vector<std::string> springs;  ///< CORNER/SPRING=PART*COUNT
  std::vector<std::string> holes;    ///< CORNER/BODY.HOLE=U,V
  std::vector<std::string> rods;     ///< CORNER/ROD=LENGTH
  std::vector<std::string> without;  ///< CORNER/SPRING, or a bar
  std::string keep;                  ///< tolerances, "ride=2,rate=10"
  std::string write;                 ///< file for the changed model; empty: none

  bool any_change() const { return !springs.empty() || !holes.empty() || !rods.empty() || !without.empty(); }
};

struct Options {
  Command command = Command::check;
  std::vector<std::string> models;  ///< paths, one or more
  bool json = false;                ///< one JSON document on standard output, also on error
  std::string curves;               ///< file that `solve` writes its travel curves to; empty: none
  bool terse = false;               ///< leave out the lines that explain headings
  SwapOptions swap;
};

}  // namespace ridepitch
