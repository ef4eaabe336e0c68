#pragma once
// The window itself: GLFW, OpenGL, the loop.

#include <optional>
#include <string>

namespace ridepitch::view {

struct RunOptions {
  std::string model;   ///< empty: the demo
  std::string shot;    ///< PNG to write without a visible window; empty: none
  std::string corner;  ///< that is looked at first; empty: the first
  std::optional<double> travel_mm;
  std::string drawing = "linkage";  ///< "linkage", "side", "front" or "steering"
  bool dark = false;
  int width = 0, height = 0;  ///< 0: as remembered
  std::string script;         ///< a recorded session to play, then close; empty: none
};

/// @returns the exit status: 0; 2 where there is no display, or nothing to make a picture of
int run_window(const RunOptions& options);

}  // namespace ridepitch::view
