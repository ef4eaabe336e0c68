#pragma once
// Colours, light and dark, and the font.

#include <imgui.h>

#include "picture/shapes.hpp"

namespace ridepitch::view {

/// Colours of a kind of shape.
struct Ink {
  ImU32 fill = 0, edge = 0;
};

/// From the set of M. Okabe and K. Ito ("Color Universal Design", 2008), made lighter or darker for fills: they stay apart
/// for people who see colours differently. Everything that has a meaning has a form of its own too.
Ink ink_for(Role role, bool dark);

/// Colours of several curves in one diagram; each has a dash of its own as well.
ImU32 series_colour(int style, bool dark);

ImU32 paper(bool dark);

/// The style of all controls.
void set_style(bool dark, float scale);

/// Loads the font that is compiled in, at that height. Its textures must be made anew by the renderer.
void load_font(float height_px);

}  // namespace ridepitch::view
