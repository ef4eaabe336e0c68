#pragma once
// Everything around the drawing: menus, what can be changed, numbers, questions.

#include "window/app.hpp"

namespace ridepitch::view {

/// The whole window, in one ImGui frame.
void draw_window(App& app);

}  // namespace ridepitch::view
