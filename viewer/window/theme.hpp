#pragma once
// Colours, light and dark, and the font.

#include <imgui.h>

#include "picture/shapes.hpp"

namespace ridepitch::view {

/// Colours of a kind of shape.
struct Ink {
  ImU32 fill = 0, edge = 0;
};

/// From the set of M. Okabe and K. Ito ("Color Universal Design", 2008), lighter or darker for fills: people with colour
/// vision deficiency can tell them apart. Everything that has a meaning also differs in form.
Ink ink_for(Role role, bool dark);

/// Colours of several curves in one diagram; their dashes differ too.
ImU32 series_colour(int style, bool dark);

ImU32 paper(bool dark);

/// The style of all controls.
void set_style(bool dark, float scale);

/// Loads the built-in font at that height. The renderer must then rebuild its texture.
void load_font(float height_px);

}  // namespace ridepitch::view
