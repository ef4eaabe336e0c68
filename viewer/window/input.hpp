#pragma once
// What hand and keyboard do, queued as plain events. GLFW's callbacks are the only way in, for a person and for a recorded
// script alike.

#include <deque>
#include <string>
#include <variant>
#include <vector>

#include "model/geometry.hpp"

struct GLFWwindow;

namespace ridepitch::view {

struct PointerMoved {
  Vec2 to_px;
};
struct PointerLeft {};
struct Button {
  int button = 0;
  bool down = false;
  int modifiers = 0;
};
struct Scrolled {
  double steps = 0;
};
struct Key {
  int key = 0;  ///< GLFW's code
  bool down = false;
  int modifiers = 0;
};
struct Typed {
  unsigned letter = 0;
};
struct Dropped {
  std::string path;
};
using Event = std::variant<PointerMoved, PointerLeft, Button, Scrolled, Key, Typed, Dropped>;

struct Input {
  std::deque<Event> events;
  bool redraw = true;     ///< something was uncovered, or the window resized
  bool rescaled = false;  ///< it went to a screen of another resolution
};

/// Makes the window's callbacks fill `input`, which must outlive it.
void listen(GLFWwindow* window, Input& input);

/// The window's callbacks as functions, for a script: exactly those that GLFW calls for a person.
struct Callbacks {
  void (*cursor)(GLFWwindow*, double, double) = nullptr;
  void (*button)(GLFWwindow*, int, int, int) = nullptr;
  void (*scroll)(GLFWwindow*, double, double) = nullptr;
  void (*key)(GLFWwindow*, int, int, int, int) = nullptr;
  void (*letter)(GLFWwindow*, unsigned) = nullptr;
};
/// Asks GLFW which are set.
Callbacks callbacks_of(GLFWwindow* window);

/// Hands events to the user interface: so many that none is lost in one frame (a press and its release take two).
/// @returns the events, in order; after ImGui_ImplGlfw_NewFrame and before ImGui::NewFrame
std::vector<Event> take_events(Input& input);

}  // namespace ridepitch::view
