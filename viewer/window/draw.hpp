#pragma once
// Pictures and diagrams on an ImGui draw list.

#include <imgui.h>

#include <optional>

#include "picture/plot.hpp"
#include "picture/shapes.hpp"
#include "picture/view.hpp"

namespace ridepitch::view {

inline ImVec2 im(const Vec2& p) { return {static_cast<float>(p.x()), static_cast<float>(p.y())}; }
inline Vec2 vec(const ImVec2& p) { return {static_cast<double>(p.x), static_cast<double>(p.y)}; }

/// How high a picture's caption is, folded to its pane [px].
float caption_height(const Picture& picture, const View& view, float scale);

/// The picture, its words where none lies on another, its caption at the foot.
/// @param scale  of line widths and marks, for screens of high resolution
void draw_picture(const Picture& picture, const View& view, bool dark, float scale, ImDrawList& list);

/// Where a diagram's own area lies in its pane, for the pointer.
struct PlotFrame {
  ImVec2 low, high;  ///< upper left, lower right
  Range x;
};

/// @param reach  what can be reached; the rest is shaded
/// @param cursor_x  a line across, with the values there
PlotFrame draw_plot(const Plot& plot, std::optional<Range> reach, std::optional<double> cursor_x, const ImVec2& at,
                    const ImVec2& size, bool dark, float scale, ImDrawList& list);

double plot_x(const PlotFrame& frame, float px);

}  // namespace ridepitch::view
