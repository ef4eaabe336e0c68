#pragma once
// The drawing in the middle, and what the pointer does to it.

#include "window/app.hpp"

namespace ridepitch::view {

/// The drawing of the open tab, in the rest of the current ImGui window.
void draw_canvas(App& app);

/// The diagrams, in the current ImGui window.
void draw_curves(App& app);

/// How the selected corner is drawn, as it was moved by hand.
LinkageLook hand_look(const App& app);

/// The picture of a tab, as data; empty where there is nothing to show.
Picture picture_of(const App& app, Tab tab);

}  // namespace ridepitch::view
