#pragma once
// Mouse and keyboard as a queue of plain events. GLFW's callbacks fill it, for a person and for a recorded script alike.

#include <deque>
#include <string>
#include <vector>

#include "model/geometry.hpp"

struct GLFWwindow;

namespace ridepitch::view {

struct Event {
  enum class Kind { pointer, button, scrolled, key, letter, dropped };
  Kind kind = Kind::pointer;
  Vec2 at_px = Vec2::Zero();  ///< of the pointer; far outside where it has left
  int code = 0;               ///< of the button, the key or the letter: GLFW's
  bool down = false;          ///< a button or a key
  int modifiers = 0;          ///< of a key
  double steps = 0;           ///< scrolled
  std::string path = {};      ///< of a file that was dropped
};

struct Input {
  std::deque<Event> events;
  bool redraw = true;     ///< something was uncovered, or the window resized
  bool rescaled = false;  ///< it went to a screen of another resolution
};

/// Makes the window's callbacks fill `input`, which must outlive it.
void listen(GLFWwindow* window, Input& input);

/// The callbacks that GLFW calls for a person, as functions for a script.
struct Callbacks {
  void (*cursor)(GLFWwindow*, double, double) = nullptr;
  void (*button)(GLFWwindow*, int, int, int) = nullptr;
  void (*scroll)(GLFWwindow*, double, double) = nullptr;
  void (*key)(GLFWwindow*, int, int, int, int) = nullptr;
  void (*letter)(GLFWwindow*, unsigned) = nullptr;
};
extern const Callbacks callbacks;

/// Hands events to the user interface: as many as one frame can take without losing any (a press and its release take
/// two). To be called after ImGui_ImplGlfw_NewFrame and before ImGui::NewFrame. @returns the events, in order
std::vector<Event> take_events(Input& input);

}  // namespace ridepitch::view
