#pragma once
// What can be done by key or menu: one table, which is also the list under F1.

#include <span>
#include <string>
#include <vector>

#include "window/app.hpp"

namespace ridepitch::view {

struct Command {
  int key = 0;        ///< GLFW's code
  int modifiers = 0;  ///< GLFW's: all of them must be held, and no other
  std::string words;  ///< what it does
  void (*run)(App&) = nullptr;
};

const std::vector<Command>& commands();

/// A key that is no letter, and its name as it is printed: "Page down".
struct NamedKey {
  int key = 0;
  const char* name = nullptr;
};
std::span<const NamedKey> named_keys();

/// "Ctrl+Shift+Z".
std::string key_text(const Command& command);

/// Runs the command of a key, if there is one.
void run_key(App& app, int key, int modifiers);

/// Makes changes as a step; if they have no solution they stay tried, and the reason is shown.
void change(App& app, const Changes& changes);

/// Raises the wheel by a number of points of its curve; moves the drive of a linkage seen from above.
void move_by_hand(App& app, int points);

}  // namespace ridepitch::view
