#pragma once
// The built program, run as a shell would run it.

#include <map>
#include <string>
#include <vector>

#include "rigs/files.hpp"

namespace ridepitch {

/// Path of a demo as tests keep it: "quarry-hauler.toml".
std::string model(const std::string& name);
inline const std::string hauler = RIDEPITCH_SOURCE_DIR "/tests/models/quarry-hauler.toml";

/// Where a run's standard output goes.
enum class StandardOutput {
  pipe,         ///< and is read to its end
  terminal,     ///< a pseudo-terminal
  closed,       ///< there is no descriptor 1
  broken_pipe,  ///< a pipe whose reader is gone
  full,         ///< /dev/full: every write says that no space is left
};

struct RunOptions {
  StandardOutput output = StandardOutput::pipe;
  std::map<std::string, std::string> environment = {};  ///< beside TERM=xterm; NO_COLOR is unset otherwise
  std::string folder = {};                              ///< to run in; empty: the tests' own
  bool closed_input = false;                            ///< there is no descriptor 0
};

struct ProgramRun {
  int status = -1;  ///< exit status; 128 + signal if it was killed
  std::string out;  ///< also what a terminal showed
  std::string err;
};

/// Runs `ridepitch` with these words and waits for its end.
ProgramRun run_program(const std::vector<std::string>& words, const RunOptions& options = {});

}  // namespace ridepitch
