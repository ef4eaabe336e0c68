#include "window/draw.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <string>
#include <vector>

#include <fmt/format.h>

#include "model/text_file.hpp"
#include "picture/place_labels.hpp"
#include "window/theme.hpp"

namespace ridepitch::view {
namespace {

void dashed(ImDrawList& list, const std::vector<ImVec2>& points, ImU32 colour, float width, float on, float off) {
  float left = on;
  bool ink = true;
  for (std::size_t i = 0; i + 1 < points.size(); ++i) {
    ImVec2 a = points[i];
    const ImVec2 b = points[i + 1];
    float length = std::hypot(b.x - a.x, b.y - a.y);
    while (length > 1e-3f) {
      const float step = std::min(left, length), share = step / length;
      const ImVec2 c(a.x + (b.x - a.x) * share, a.y + (b.y - a.y) * share);
      if (ink) list.AddLine(a, c, colour, width);
      a = c;
      length -= step;
      left -= step;
      if (left <= 1e-4f) {
        ink = !ink;
        left = ink ? on : off;
      }
    }
  }
}

/// Under words that lie on a drawing.
ImU32 see_through_paper(bool dark) { return (paper(dark) & 0x00FFFFFF) | 0xD0000000; }

struct Painter {
  const View& view;
  bool dark;
  float scale;
  ImDrawList& list;

  ImVec2 px(const Vec2& p) const { return im(to_px(view, p)); }

  std::vector<ImVec2> px(const std::vector<Vec2>& points) const {
    std::vector<ImVec2> out;
    out.reserve(points.size());
    for (const Vec2& p : points) out.push_back(px(p));
    return out;
  }

  void operator()(const Area& area) const {
    const Ink ink = ink_for(area.role, dark);
    std::vector<ImVec2> points = px(area.points);
    // ImGui smooths the edges of a filled shape only where it runs clockwise on the screen.
    double turned = 0;
    for (std::size_t i = 0; i < points.size(); ++i) {
      const ImVec2 &a = points[i], &b = points[(i + 1) % points.size()];
      turned += static_cast<double>(a.x) * b.y - static_cast<double>(b.x) * a.y;
    }
    if (turned < 0) std::reverse(points.begin(), points.end());
    const int count = static_cast<int>(points.size());
    if (area.filled) list.AddConvexPolyFilled(points.data(), count, ink.fill);
    const float width = (area.role == Role::selected || area.role == Role::wheel ? 2.5f : 1.3f) * scale;
    list.AddPolyline(points.data(), count, ink.edge, ImDrawFlags_Closed, width);
  }

  void operator()(const Line& line) const {
    const Ink ink = ink_for(line.role, dark);
    const std::vector<ImVec2> points = px(line.points);
    const float width = static_cast<float>(line.width_px) * scale;
    if (line.dashed) return dashed(list, points, ink.edge, width, 6 * scale, 4 * scale);
    list.AddPolyline(points.data(), static_cast<int>(points.size()), ink.edge, ImDrawFlags_None, width);
  }

  void operator()(const Disc& disc) const {
    const Ink ink = ink_for(disc.role, dark);
    const float radius = static_cast<float>(disc.radius_mm * view.px_per_mm);
    const ImVec2 centre = px(disc.centre);
    if (disc.filled) list.AddCircleFilled(centre, std::max(radius, 1.f), ink.fill);
    if (disc.edge_px > 0) list.AddCircle(centre, radius, ink.edge, 0, static_cast<float>(disc.edge_px) * scale);
  }

  void operator()(const Mark& mark) const {
    const Ink ink = ink_for(mark.role, dark);
    const ImVec2 c = px(mark.at);
    const float r = static_cast<float>(mark.size_px) * scale, w = 2 * scale;
    switch (mark.form) {
      case Mark::Form::ring:
        list.AddCircle(c, r, ink.edge, 0, w);
        break;
      case Mark::Form::cross:
        list.AddLine(ImVec2(c.x - r, c.y - r), ImVec2(c.x + r, c.y + r), ink.edge, w);
        list.AddLine(ImVec2(c.x - r, c.y + r), ImVec2(c.x + r, c.y - r), ink.edge, w);
        break;
      case Mark::Form::diamond:
        list.AddQuadFilled(ImVec2(c.x - r, c.y), ImVec2(c.x, c.y - r), ImVec2(c.x + r, c.y), ImVec2(c.x, c.y + r),
                           ink.fill);
        break;
      case Mark::Form::quartered: {
        list.AddCircleFilled(c, r, paper(dark));
        for (const float from : {0.f, std::numbers::pi_v<float>}) {
          list.PathLineTo(c);
          list.PathArcTo(c, r, from, from + std::numbers::pi_v<float> / 2);
          list.PathFillConvex(ink.fill);
        }
        list.AddCircle(c, r, ink.edge, 0, w);
        break;
      }
    }
  }

  void operator()(const Label&) const {}  // all of them at last, once it is known where each can go

  void words(const PlacedLabel& placed) const {
    const ImU32 ink = ink_for(placed.label->role, dark).fill;
    if (placed.led) list.AddLine(im(placed.lead_from), im(placed.lead_to), ink, scale);
    const ImVec2 low = im(placed.low), high = im(placed.high);
    list.AddRectFilled(ImVec2(low.x - 2, low.y), ImVec2(high.x + 2, high.y), see_through_paper(dark), 3);
    list.AddText(low, ink, printable(placed.label->text).c_str());
  }
};

float text_width(const std::string& text) { return ImGui::CalcTextSize(text.c_str()).x; }

Vec2 text_size(const std::string& text) { return vec(ImGui::CalcTextSize(printable(text).c_str())); }

std::string tick_text(double value, double step) {
  const int decimals = step >= 0.999 ? 0 : static_cast<int>(std::ceil(-std::log10(step) - 1e-6));
  return fmt::format("{:.{}f}", value == 0 ? 0.0 : value, decimals);
}

std::string three_digits(double value) {
  if (std::abs(value) < 5e-4) return "0";
  return std::abs(value) >= 100 ? fmt::format("{:.0f}", value) : fmt::format("{:.3g}", value);
}

/// What a curve says, or that it is beyond what the diagram shows.
std::string reading_text(double value, const Range& shown) {
  if (value > shown.high) return "over " + three_digits(shown.high);
  return value < shown.low ? "under " + three_digits(shown.low) : three_digits(value);
}

double step_of(const std::vector<double>& ticks) { return ticks.size() > 1 ? ticks[1] - ticks[0] : 1; }

float widest_tick(const std::vector<double>& ticks) {
  float widest = 0;
  for (const double tick : ticks) widest = std::max(widest, text_width(tick_text(tick, step_of(ticks))));
  return widest;
}

constexpr float caption_aside = 8, caption_foot = 4;

float caption_width(const View& view, float scale) {
  return std::max(1.f, im(view.size_px).x - 2 * caption_aside * scale);
}

}  // namespace

float caption_height(const Picture& picture, const View& view, float scale) {
  if (picture.caption.empty()) return 0;
  const ImVec2 size = ImGui::CalcTextSize(picture.caption.c_str(), nullptr, false, caption_width(view, scale));
  return size.y + caption_foot * scale;
}

void draw_picture(const Picture& picture, const View& view, bool dark, float scale, ImDrawList& list) {
  const ImVec2 low = im(view.corner_px), high = im(view.corner_px + view.size_px);
  list.PushClipRect(low, high, true);
  list.AddRectFilled(low, high, paper(dark));
  const Painter painter{view, dark, scale, list};
  for (const Shape& shape : picture.shapes) std::visit(painter, shape);
  const double unit = static_cast<double>(scale);
  const float caption = caption_height(picture, view, scale);
  LabelPane pane{
      .place = [&](const Vec2& p) { return to_px(view, p); }, .extent = text_size, .unit = unit, .space = {}};
  pane.space = {view.corner_px, view.corner_px + view.size_px - Vec2(0, static_cast<double>(caption))};
  for (const PlacedLabel& each : place_labels(picture, pane)) painter.words(each);
  list.AddText(ImGui::GetFont(), ImGui::GetFontSize(), ImVec2(low.x + caption_aside * scale, high.y - caption),
               ink_for(Role::quiet_text, dark).fill, picture.caption.c_str(), nullptr, caption_width(view, scale));
  list.PopClipRect();
}

double plot_x(const PlotFrame& frame, float px) {
  const double share =
      static_cast<double>(px - frame.low.x) / std::max(1.0, static_cast<double>(frame.high.x - frame.low.x));
  return frame.x.low + share * (frame.x.high - frame.x.low);
}

namespace {

/// A diagram's own area, and from values to px.
struct Diagram {
  const Plot& plot;
  const PlotFrame& frame;
  bool dark;
  float scale;
  ImDrawList& list;

  static float along(double v, const Range& range, float from, float to) {
    return from + static_cast<float>((v - range.low) / (range.high - range.low)) * (to - from);
  }
  float x(double v) const { return along(v, plot.x, frame.low.x, frame.high.x); }
  float y(double v) const { return along(v, plot.y, frame.high.y, frame.low.y); }
  ImU32 fill(Role role) const { return ink_for(role, dark).fill; }
  ImU32 edge(Role role) const { return ink_for(role, dark).edge; }
};

/// What is out of reach is hatched, so that it does not depend on colour.
void hatch(const Diagram& in, float from, float to) {
  if (to - from < 1) return;
  const ImVec2 &low = in.frame.low, &high = in.frame.high;
  in.list.PushClipRect(ImVec2(from, low.y), ImVec2(to, high.y), true);
  const float height = high.y - low.y;
  for (float x = from - height; x < to; x += 7 * in.scale)
    in.list.AddLine(ImVec2(x, high.y), ImVec2(x + height, low.y), in.edge(Role::grid), in.scale);
  in.list.PopClipRect();
}

void draw_series(const Diagram& in, const Series& series) {
  const ImU32 colour = series.before ? in.edge(Role::path) : series_colour(series.style, in.dark);
  const float width = (series.before ? 1.f : 2.2f) * in.scale;
  std::vector<ImVec2> run;
  const auto flush = [&] {
    if (run.size() > 1 && series.style == 0)
      in.list.AddPolyline(run.data(), static_cast<int>(run.size()), colour, 0, width);
    if (run.size() > 1 && series.style > 0)
      dashed(in.list, run, colour, width, 12 * in.scale / static_cast<float>(series.style), 4 * in.scale);
    run.clear();
  };
  for (const Vec2& p : series.points) {
    if (std::isfinite(p.y()))
      run.emplace_back(in.x(p.x()), in.y(p.y()));
    else
      flush();
  }
  flush();
}

/// What every curve says at an x, in its colour and under its name, one below the other.
void write_readings(const Diagram& in, double at_x) {
  const float line = ImGui::GetTextLineHeight();
  float y = in.frame.low.y + 2 * in.scale;
  for (const Series& series : in.plot.series) {
    const auto value = series.before ? std::nullopt : value_at(series, at_x);
    if (!value) continue;
    const std::string reading =
        fmt::format("{}{}{}", printable(series.name), series.name.empty() ? "" : " ", reading_text(*value, in.plot.y));
    const float width = text_width(reading), x = in.frame.high.x - width - 4 * in.scale;
    in.list.AddRectFilled(ImVec2(x - 2, y), ImVec2(x + width + 2, y + line), see_through_paper(in.dark));
    in.list.AddText(ImVec2(x, y), series.name.empty() ? in.fill(Role::text) : series_colour(series.style, in.dark),
                    reading.c_str());
    y += line;
  }
}

void write_y_ticks(const Diagram& in) {
  const float line = ImGui::GetTextLineHeight();
  for (const double tick : in.plot.y_ticks) {
    const std::string words = tick_text(tick, step_of(in.plot.y_ticks));
    const float y = in.y(tick) - line / 2;
    if (y > in.frame.low.y - line && y < in.frame.high.y - line / 3)
      in.list.AddText(ImVec2(in.frame.low.x - 5 * in.scale - text_width(words), y), in.fill(Role::quiet_text),
                      words.c_str());
  }
}

/// Every tick, or every second, fifth or tenth, has its number: as there is space.
void write_x_ticks(const Diagram& in) {
  const std::vector<double>& ticks = in.plot.x_ticks;
  const float spacing = ticks.size() > 1 ? in.x(ticks[1]) - in.x(ticks[0]) : 1e6f;
  std::size_t stride = 1;
  for (const std::size_t each : {1u, 2u, 5u, 10u}) {
    stride = each;
    if (spacing * static_cast<float>(each) > widest_tick(ticks) + 8 * in.scale) break;
  }
  for (std::size_t i = 0; i < ticks.size(); ++i) {
    const std::string words = tick_text(ticks[i], step_of(ticks));
    const float x = in.x(ticks[i]), y = in.frame.high.y;
    in.list.AddLine(ImVec2(x, y), ImVec2(x, y - 4 * in.scale), in.fill(Role::quiet_text), 1);
    if (i % stride == 0)
      in.list.AddText(ImVec2(x - text_width(words) / 2, y + 2 * in.scale), in.fill(Role::quiet_text), words.c_str());
  }
}

}  // namespace

PlotFrame draw_plot(const Plot& plot, std::optional<Range> reach, std::optional<double> cursor_x, const ImVec2& at,
                    const ImVec2& size, bool dark, float scale, ImDrawList& list) {
  const float line = ImGui::GetTextLineHeight();
  const PlotFrame frame{ImVec2(at.x + widest_tick(plot.y_ticks) + 10 * scale, at.y + line + 6 * scale),
                        ImVec2(at.x + size.x - 8 * scale, at.y + size.y - line - 6 * scale), plot.x};
  const ImVec2 &low = frame.low, &high = frame.high;
  if (high.x - low.x < 20 || high.y - low.y < 20) return frame;
  const Diagram in{plot, frame, dark, scale, list};

  list.AddRectFilled(low, high, paper(dark));
  list.PushClipRect(low, high, true);
  if (reach) {
    hatch(in, low.x, in.x(reach->low));
    hatch(in, in.x(reach->high), high.x);
  }
  for (const double tick : plot.y_ticks)
    list.AddLine(ImVec2(low.x, in.y(tick)), ImVec2(high.x, in.y(tick)), in.edge(Role::grid), 1);
  for (const Series& series : plot.series) draw_series(in, series);
  for (const Series& series : plot.series)
    if (const auto y = series.before || !plot.rest_x ? std::nullopt : value_at(series, *plot.rest_x))
      list.AddCircleFilled(ImVec2(in.x(*plot.rest_x), in.y(*y)), 4.5f * scale, series_colour(series.style, dark));
  if (cursor_x)
    list.AddLine(ImVec2(in.x(*cursor_x), low.y), ImVec2(in.x(*cursor_x), high.y), in.fill(Role::text), scale);
  list.PopClipRect();
  list.AddRect(low, high, in.fill(Role::quiet_text));

  std::string title = std::string(plot.words) + (plot.unit.empty() ? "" : fmt::format(" [{}]", plot.unit));
  if (text_width(title) > at.x + size.x - low.x) title = plot.words;
  list.AddText(ImVec2(low.x, at.y + 2 * scale), in.fill(Role::text), title.c_str());
  if (const auto at_x = cursor_x ? cursor_x : plot.rest_x) write_readings(in, *at_x);
  write_y_ticks(in);
  write_x_ticks(in);
  return frame;
}

}  // namespace ridepitch::view
