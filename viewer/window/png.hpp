#pragma once
// Pictures off the screen, and as PNG files.

#include <optional>
#include <string>
#include <vector>

#include "model/problem.hpp"

struct GLFWwindow;

namespace ridepitch::view {

struct Pixels {
  int width = 0, height = 0;
  std::vector<unsigned char> rgba;  ///< upper row first
};

/// @returns what is wrong if it could not be written; then an older file of that name is still there
std::optional<Problem> write_png(const std::string& path, const Pixels& pixels);

/// While it lives, everything is drawn into memory of the window's size.
struct OffScreen {
  explicit OffScreen(GLFWwindow* window);
  ~OffScreen();
  OffScreen(const OffScreen&) = delete;
  OffScreen& operator=(const OffScreen&) = delete;

  bool ready = false;
  unsigned framebuffer = 0, colours = 0;
};

}  // namespace ridepitch::view
