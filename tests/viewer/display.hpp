#pragma once
// A screen of our own (Xvfb, software OpenGL), and the viewer on it.

#include <sys/types.h>

#include <string>
#include <vector>

namespace ridepitch::view {

/// A virtual screen while it lives.
struct Display {
  Display();
  ~Display();
  Display(const Display&) = delete;
  Display& operator=(const Display&) = delete;

  std::string name;  ///< ":7"; empty: none could be started
  pid_t pid = -1;
};

struct Ended {
  int status = -1;
  std::string out, err;
};

/// Runs a program with $DISPLAY and $XDG_CONFIG_HOME set, to its end.
/// @param display  empty: without a display
Ended run(const std::vector<std::string>& words, const std::string& display, const std::string& config_folder);

/// Starts it and does not wait.
pid_t start(const std::vector<std::string>& words, const std::string& display, const std::string& config_folder);

/// Waits for what was started, for so long at most; then it is ended.
/// @returns its exit status; -1: it had to be ended
int wait_for(pid_t pid, double seconds);

}  // namespace ridepitch::view
