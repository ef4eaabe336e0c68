#pragma once
// The built program, run as a shell would run it, and a folder to run it in.

#include <map>
#include <string>
#include <vector>

namespace ridepitch {

/// A folder of its own, removed at the end. Tests name files in it.
class Scratch {
 public:
  Scratch();
  ~Scratch();
  Scratch(const Scratch&) = delete;
  Scratch& operator=(const Scratch&) = delete;

  std::string path(const std::string& name = "") const;
  std::string write(const std::string& name, const std::string& text) const;  ///< its path
  std::vector<std::string> names() const;                                     ///< what lies in it, sorted

 private:
  std::string path_;
};

std::string read_text(const std::string& path);

/// Path of a demo model: "quarry-hauler.toml".
std::string model(const std::string& name);
inline const std::string hauler = RIDEPITCH_SOURCE_DIR "/models/quarry-hauler.toml";

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
};

struct ProgramRun {
  int status = -1;  ///< exit status; 128 + signal if it was killed
  std::string out;  ///< also what a terminal showed
  std::string err;
};

/// Runs `ridepitch` with these words and waits for its end.
ProgramRun run_program(const std::vector<std::string>& words, const RunOptions& options = {});

/// Lines of a text, without their newlines.
std::vector<std::string> lines_of(const std::string& text);

}  // namespace ridepitch
