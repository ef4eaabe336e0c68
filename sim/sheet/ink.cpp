#include "sheet/ink.hpp"

#include <cairo-pdf.h>
#include <cairo.h>
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <memory>
#include <numbers>

#include "model/text_file.hpp"
#include "model/write_file.hpp"

namespace ridepitch {
namespace {

constexpr double points_per_mm = 72 / 25.4;  // PDF's unit is 1/72 inch: ISO 32000-1, 8.3.2.3
constexpr const char* family = "DejaVu Sans";

// Widths and lengths on paper [mm].
constexpr double mm_per_px = 0.2;  // of a line that the picture gives in px of a window
constexpr double thin = 0.18, dash_on = 1.3, dash_off = 0.9;
constexpr double cell_pad = 1.2, list_indent = 4;

struct Close {
  void operator()(cairo_surface_t* surface) const { cairo_surface_destroy(surface); }
  void operator()(cairo_t* context) const { cairo_destroy(context); }
};
using Surface = std::unique_ptr<cairo_surface_t, Close>;
using Context = std::unique_ptr<cairo_t, Close>;

struct FaceSize {
  double letter_mm, line_mm;
  bool bold;
};

FaceSize size_of(Face face) {
  switch (face) {
    case Face::title:
      return {5.6, 7.6, true};
    case Face::heading:
      return {4.0, 5.6, true};
    case Face::strong:
      return {2.9, 4.1, true};
    case Face::small:
      return {2.5, 3.5, false};
    case Face::text:
      break;
  }
  return {2.9, 4.1, false};
}

/// Letters lie where mm say, not where the pixels of a device would like them.
void set_face(cairo_t* c, Face face) {
  cairo_font_options_t* options = cairo_font_options_create();
  cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
  cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
  cairo_font_options_set_antialias(options, CAIRO_ANTIALIAS_GRAY);
  cairo_set_font_options(c, options);
  cairo_font_options_destroy(options);
  cairo_select_font_face(c, family, CAIRO_FONT_SLANT_NORMAL,
                         size_of(face).bold ? CAIRO_FONT_WEIGHT_BOLD : CAIRO_FONT_WEIGHT_NORMAL);
  cairo_set_font_size(c, size_of(face).letter_mm);
}

double width_in(cairo_t* c, std::string_view text) {
  cairo_text_extents_t extents;
  cairo_text_extents(c, printable(text).c_str(), &extents);
  return extents.x_advance;
}

/// What a role looks like: greys and widths only, so that it reads from any printer.
struct Stroke {
  double fill = 1, edge = 0, width = 0.25;
  bool dashed = false;
};

Stroke stroke_of(Role role) {
  switch (role) {
    case Role::grid:
      return {0.72, 0.72, thin};
    case Role::ground_line:
      return {0.3, 0.3, 0.4};
    case Role::chassis_part:
      return {0.74, 0.35, 0.22};
    case Role::body:
      return {0.90, 0, 0.28};
    case Role::far_body:
      return {0.97, 0.62, thin};
    case Role::hole:
      return {1, 0.1, 0.2};
    case Role::pin:
      return {0.1, 0.1, 0.2};
    case Role::rod:
      return {0.80, 0, 0.28};
    case Role::coil:
      return {1, 0, 0.42};
    case Role::band:
      return {1, 0, 0.5};
    case Role::solid:
      return {0, 0, 0.75};
    case Role::wheel:
      return {1, 0.15, 0.45};
    case Role::limit:
      return {0.2, 0.2, 0.3};
    case Role::slide:
      return {0.4, 0.4, 0.3};
    case Role::ghost:
      return {1, 0.42, 0.28, true};
    case Role::mass:
      return {0.96, 0.6, thin};
    case Role::keepout:
      return {0.96, 0.45, thin, true};
    case Role::centre_of_gravity:
      return {0, 0, 0.3};
    case Role::path:
    case Role::selected:
    case Role::place_fits:
    case Role::place_fits_not:
    case Role::text:
    case Role::quiet_text:
      break;
  }
  return {0.35, 0.35, 0.25};
}

struct Pen {
  cairo_t* c;

  void grey(double shade) const { cairo_set_source_rgb(c, shade, shade, shade); }

  void dash(bool dashed) const {
    const std::array<double, 2> lengths = {dash_on, dash_off};
    cairo_set_dash(c, lengths.data(), dashed ? 2 : 0, 0);
  }

  void line(const Vec2& a, const Vec2& b, double width, double shade) const {
    dash(false);
    grey(shade);
    cairo_set_line_width(c, width);
    cairo_move_to(c, a.x(), a.y());
    cairo_line_to(c, b.x(), b.y());
    cairo_stroke(c);
  }

  void way(const std::vector<Vec2>& points, bool closed) const {
    for (std::size_t i = 0; i < points.size(); ++i)
      i == 0 ? cairo_move_to(c, points[i].x(), points[i].y()) : cairo_line_to(c, points[i].x(), points[i].y());
    if (closed) cairo_close_path(c);
  }

  void ring(const Vec2& at, double radius) const {
    cairo_new_sub_path(c);
    cairo_arc(c, at.x(), at.y(), radius, 0, 2 * std::numbers::pi);
  }

  /// Words whose letters stand on a line.
  void words(const Vec2& at, std::string_view text, Face face, double shade = 0) const {
    set_face(c, face);
    grey(shade);
    cairo_move_to(c, at.x(), at.y());
    cairo_show_text(c, printable(text).c_str());
  }

  void head(const Vec2& tip, const Vec2& way, double length) const {
    const Vec2 side(-way.y(), way.x());
    this->way({tip, tip - length * way + 0.36 * length * side, tip - length * way - 0.36 * length * side}, true);
    cairo_fill(c);
  }
};

/// Below the middle of a line of letters, so much is the line that they stand on.
constexpr double middle_to_base = 0.36;

// ------------------------------------------------------------------------------------- drawings

struct DrawingPen {
  Pen pen;
  const SheetDrawing& drawing;

  Vec2 at(const Vec2& p_mm) const { return on_paper(drawing, p_mm); }

  std::vector<Vec2> at(const std::vector<Vec2>& points) const {
    std::vector<Vec2> out;
    for (const Vec2& p : points) out.push_back(at(p));
    return out;
  }

  void operator()(const Area& area) const {
    const Stroke stroke = stroke_of(area.role);
    pen.way(at(area.points), true);
    if (area.filled) {
      pen.grey(stroke.fill);
      cairo_fill_preserve(pen.c);
    }
    edge(stroke, stroke.dashed);
  }

  void operator()(const Line& line) const {
    Stroke stroke = stroke_of(line.role);
    if (line.width_px <= 1) stroke.width = std::min(stroke.width, 0.22);
    pen.way(at(line.points), false);
    edge(stroke, stroke.dashed || line.dashed);
  }

  void operator()(const Disc& disc) const {
    const Stroke stroke = stroke_of(disc.role);
    pen.ring(at(disc.centre), std::max(disc.radius_mm / drawing.reduced, 0.12));
    if (disc.filled) {
      pen.grey(stroke.fill);
      cairo_fill_preserve(pen.c);
    }
    if (disc.edge_px > 0) return edge(stroke, stroke.dashed);
    cairo_new_path(pen.c);
  }

  void operator()(const Mark& mark) const {
    const Stroke stroke = stroke_of(mark.role);
    const Vec2 p = at(mark.at);
    const double r = mark.size_px * mm_per_px;
    pen.grey(stroke.edge);
    if (mark.form == Mark::Form::quartered) {
      pen.ring(p, r);
      pen.grey(1);
      cairo_fill_preserve(pen.c);
      edge(stroke, false);
      for (const double from : {0.0, std::numbers::pi}) {
        cairo_move_to(pen.c, p.x(), p.y());
        cairo_arc(pen.c, p.x(), p.y(), r, from, from + std::numbers::pi / 2);
        cairo_close_path(pen.c);
      }
      pen.grey(stroke.edge);
      cairo_fill(pen.c);
    } else if (mark.form == Mark::Form::ring) {
      pen.ring(p, r);
      edge(stroke, false);
    } else if (mark.form == Mark::Form::diamond) {
      pen.way({p + Vec2(r, 0), p + Vec2(0, r), p - Vec2(r, 0), p - Vec2(0, r)}, true);
      pen.grey(stroke.edge);
      cairo_fill(pen.c);
    } else {
      pen.line(p + Vec2(-r, -r), p + Vec2(r, r), stroke.width, stroke.edge);
      pen.line(p + Vec2(-r, r), p + Vec2(r, -r), stroke.width, stroke.edge);
    }
  }

  void operator()(const Label&) const {}

  void edge(const Stroke& stroke, bool dashed) const {
    pen.grey(stroke.edge);
    pen.dash(dashed);
    cairo_set_line_width(pen.c, stroke.width);
    cairo_set_line_join(pen.c, CAIRO_LINE_JOIN_ROUND);
    cairo_stroke(pen.c);
  }

  void arrow(const SheetArrow& each) const {
    const Vec2 a = at(each.from_mm), b = at(each.to_mm);
    const double length = (b - a).norm();
    if (length < 1e-6) return;
    const Vec2 way = (b - a) / length;
    const double head = std::min(2.6, 0.6 * length);
    pen.line(a, b, 1.5, 1);
    pen.line(a, b - 0.8 * head * way, 0.6, 0);
    pen.grey(0);
    pen.head(b, way, head);
  }

  void dimension(const SheetDimension& each) const {
    const Vec2 a = at(each.from_mm), b = at(each.to_mm);
    const double length = (b - a).norm();
    if (length < 1e-6) return;
    const Vec2 way = (b - a) / length;
    const double head = std::min(1.6, 0.4 * length);
    pen.line(a, b, 0.8, 1);
    pen.line(a, b, thin, 0);
    pen.head(b, way, head);
    pen.head(a, -way, head);
  }

  void label(const SheetLabel& each) const {
    const Vec2 middle = (each.box.low + each.box.high) / 2;
    if (each.numbered) {
      pen.ring(middle, (each.box.high.y() - each.box.low.y()) / 2);
      pen.grey(1);
      cairo_fill_preserve(pen.c);
      pen.dash(false);
      pen.grey(0);
      cairo_set_line_width(pen.c, 0.35);
      cairo_stroke(pen.c);
      const double width = text_width_mm(each.text, Face::strong);
      pen.words(middle + Vec2(-width / 2, middle_to_base * letter_height_mm(Face::strong)), each.text, Face::strong);
      return;
    }
    const Vec2 size = each.box.high - each.box.low;
    cairo_rectangle(pen.c, each.box.low.x(), each.box.low.y(), size.x(), size.y());
    pen.grey(1);
    cairo_fill(pen.c);
    const double width = text_width_mm(each.text, Face::small);
    pen.words(middle + Vec2(-width / 2, middle_to_base * letter_height_mm(Face::small)), each.text, Face::small);
  }

  void leader(const SheetLabel& each) const {
    if (!each.leader) return;
    const Vec2 end = each.about_mm.cwiseMax(each.box.low).cwiseMin(each.box.high);
    pen.line(each.about_mm, end, 0.7, 1);
    pen.line(each.about_mm, end, thin, 0);
    pen.ring(each.about_mm, 0.4);
    pen.grey(0);
    cairo_fill(pen.c);
  }

  /// Each cm is filled or not, in turn.
  void ruler() const {
    if (drawing.ruler_mm <= 0) return;
    constexpr double height = 1.4, step = 10;
    const Vec2& from = drawing.ruler_at_mm;
    for (int i = 0; i * step < drawing.ruler_mm - 1e-9; i += 2) {
      cairo_rectangle(pen.c, from.x() + i * step, from.y(), step, height);
      pen.grey(0);
      cairo_fill(pen.c);
    }
    cairo_rectangle(pen.c, from.x() + thin / 2, from.y() + thin / 2, drawing.ruler_mm - thin, height - thin);
    pen.dash(false);
    cairo_set_line_width(pen.c, thin);
    cairo_stroke(pen.c);
    pen.words(from + Vec2(drawing.ruler_mm + 2, height), drawing.ruler_words, Face::small);
  }

  void all() const {
    for (const Shape& shape : drawing.picture.shapes) std::visit(*this, shape);
    for (const SheetArrow& each : drawing.arrows) arrow(each);
    for (const SheetDimension& each : drawing.dimensions) dimension(each);
    for (const SheetLabel& each : drawing.labels) leader(each);
    for (const SheetLabel& each : drawing.labels) label(each);
    for (const SheetLabel& each : drawing.grid_numbers) {
      const Vec2 middle = (each.box.low + each.box.high) / 2;
      const double width = text_width_mm(each.text, Face::small);
      pen.words(middle + Vec2(-width / 2, middle_to_base * letter_height_mm(Face::small)), each.text, Face::small,
                0.35);
    }
    ruler();
  }
};

// ----------------------------------------------------------------------------------------- pages

struct PagePen {
  Pen pen;

  void operator()(const Words& words) const {
    double y = 0;
    for (const std::string& line : words.lines) {
      const double base = y + line_height_mm(words.face) / 2 + middle_to_base * letter_height_mm(words.face);
      if (words.listed && y == 0) pen.words(Vec2(0.8, base), "\u2013", words.face);
      pen.words(Vec2(words.listed ? list_indent : 0, base), line, words.face);
      y += line_height_mm(words.face);
    }
  }

  void cell(const SheetColumn& column, double left, double top, const std::vector<std::string>& lines,
            Face face) const {
    double y = top;
    for (const std::string& line : lines) {
      const double x = column.numbers ? left + column.width_mm - cell_pad - text_width_mm(line, face) : left + cell_pad;
      pen.words(Vec2(x, y + line_height_mm(face) / 2 + middle_to_base * letter_height_mm(face)), line, face);
      y += line_height_mm(face);
    }
  }

  void operator()(const SheetTable& table) const {
    double left = 0;
    for (const SheetColumn& column : table.columns) {
      cell(column, left, 0.8, {column.heading}, Face::strong);
      if (!column.unit.empty()) cell(column, left, 0.8 + line_height_mm(Face::strong), {column.unit}, Face::small);
      left += column.width_mm;
    }
    double y = table.head_mm;
    pen.line(Vec2(0, y), Vec2(left, y), 0.35, 0);
    for (const SheetRow& row : table.rows) {
      double x = 0;
      for (std::size_t i = 0; i < row.cells.size() && i < table.columns.size(); ++i) {
        const SheetColumn& column = table.columns[i];
        cell(column, x, y + 0.6, row.cells[i].lines, Face::text);
        x += column.width_mm;
      }
      y += row.height_mm;
      pen.line(Vec2(0, y), Vec2(left, y), thin, 0.6);
    }
    // What is to be written in by hand has a frame.
    double x = 0;
    for (const SheetColumn& column : table.columns) {
      if (column.blank)
        for (const double edge : {x, x + column.width_mm})
          pen.line(Vec2(edge, table.head_mm), Vec2(edge, y), thin, 0.6);
      x += column.width_mm;
    }
  }

  void operator()(const SheetDrawing& drawing) const { DrawingPen{pen, drawing}.all(); }
};

void draw_page(cairo_t* c, const Sheet& sheet, std::size_t page) {
  const Pen pen{c};
  pen.grey(1);
  cairo_paint(c);
  cairo_set_line_cap(c, CAIRO_LINE_CAP_BUTT);
  for (const SheetBlock& block : sheet.pages[page].blocks) {
    cairo_save(c);
    cairo_translate(c, block.box.low.x(), block.box.low.y());
    std::visit(PagePen{pen}, block.what);
    cairo_restore(c);
  }
  const double base = paper_height_mm - 8;
  std::string left = sheet.facts.file;
  if (!sheet.facts.date.empty()) left += (left.empty() ? "" : ", ") + sheet.facts.date;
  const std::string right = fmt::format("{} of {}", page + 1, sheet.pages.size());
  pen.words(Vec2(paper_margin_mm, base), left, Face::small, 0.3);
  pen.words(Vec2(paper_width_mm - paper_margin_mm - text_width_mm(right, Face::small), base), right, Face::small, 0.3);
}

cairo_status_t append(void* to, const unsigned char* data, unsigned int size) {
  static_cast<std::string*>(to)->append(reinterpret_cast<const char*>(data), size);
  return CAIRO_STATUS_SUCCESS;
}

}  // namespace

double letter_height_mm(Face face) { return size_of(face).letter_mm; }
double line_height_mm(Face face) { return size_of(face).line_mm; }

double text_width_mm(std::string_view text, Face face) {
  thread_local const Surface surface(cairo_recording_surface_create(CAIRO_CONTENT_ALPHA, nullptr));
  thread_local const Context context(cairo_create(surface.get()));
  set_face(context.get(), face);
  return width_in(context.get(), text);
}

std::string pdf_of(const Sheet& sheet) {
  std::string bytes;
  const Surface surface(cairo_pdf_surface_create_for_stream(append, &bytes, paper_width_mm * points_per_mm,
                                                            paper_height_mm * points_per_mm));
  cairo_pdf_surface_set_metadata(surface.get(), CAIRO_PDF_METADATA_TITLE, printable(sheet.title).c_str());
  // Without a date Cairo takes the clock's, and no two writes would be alike.
  const std::string date = sheet.facts.date.empty() ? "2000-01-01" : sheet.facts.date;
  cairo_pdf_surface_set_metadata(surface.get(), CAIRO_PDF_METADATA_CREATE_DATE, (date + "T00:00:00Z").c_str());
  {
    const Context context(cairo_create(surface.get()));
    cairo_scale(context.get(), points_per_mm, points_per_mm);
    for (std::size_t page = 0; page < sheet.pages.size(); ++page) {
      draw_page(context.get(), sheet, page);
      cairo_show_page(context.get());
    }
    if (cairo_status(context.get()) != CAIRO_STATUS_SUCCESS) return "";
  }
  cairo_surface_finish(surface.get());
  return cairo_surface_status(surface.get()) == CAIRO_STATUS_SUCCESS ? bytes : "";
}

std::string png_of(const Sheet& sheet, std::size_t page, double px_per_mm) {
  const Surface surface(cairo_image_surface_create(CAIRO_FORMAT_RGB24,
                                                   static_cast<int>(std::lround(paper_width_mm * px_per_mm)),
                                                   static_cast<int>(std::lround(paper_height_mm * px_per_mm))));
  {
    const Context context(cairo_create(surface.get()));
    cairo_scale(context.get(), px_per_mm, px_per_mm);
    draw_page(context.get(), sheet, page);
  }
  std::string bytes;
  return cairo_surface_write_to_png_stream(surface.get(), append, &bytes) == CAIRO_STATUS_SUCCESS ? bytes : "";
}

std::optional<Problem> write_sheet(const std::string& path, const Sheet& sheet) {
  const std::string bytes = pdf_of(sheet);
  if (!bytes.empty()) return write_file(path, bytes);
  Problem problem;
  problem.code = "no-sheet";
  problem.text = "the sheet could not be made into a PDF";
  problem.hint = "that is a fault of this program, or it ran out of memory";
  return problem;
}

}  // namespace ridepitch
