#include "sheet/ink.hpp"

#include <cairo-pdf.h>
#include <cairo-svg.h>
#include <cairo.h>
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <memory>
#include <numbers>
#include <numeric>

#include "model/index.hpp"
#include "model/text_file.hpp"
#include "model/write_file.hpp"

namespace ridepitch {
namespace {

constexpr double points_per_mm = 72 / 25.4;  // PDF's unit is 1/72 inch: ISO 32000-1, 8.3.2.3
constexpr const char* family = "DejaVu Sans";

// Widths and lengths on paper [mm].
constexpr double mm_per_px = 0.2;  // of a line that the picture gives in px of a window
constexpr double thin = 0.18, dash_on = 1.3, dash_off = 0.9;
constexpr double cell_pad = 1.2, row_pad = 0.6, head_pad = 0.8, list_indent = 4;
constexpr double rule_shade = 0.6;  // of the lines of a table

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

/// Of title, heading, text, strong, small.
constexpr std::array<FaceSize, 5> face_sizes = {
    {{5.6, 7.6, true}, {4.0, 5.6, true}, {2.9, 4.1, false}, {2.9, 4.1, true}, {2.5, 3.5, false}}};
const FaceSize& size_of(Face face) { return face_sizes[static_cast<std::size_t>(face)]; }

/// The middle of a line of letters is this share of their height above the line that they stand on.
constexpr double middle_to_base = 0.36;

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

constexpr std::pair<Role, Stroke> strokes[] = {
    {Role::grid, {0.72, 0.72, thin}},
    {Role::ground_line, {0.3, 0.3, 0.4}},
    {Role::chassis_part, {0.74, 0.35, 0.22}},
    {Role::body, {0.90, 0, 0.28}},
    {Role::far_body, {0.97, 0.62, thin}},
    {Role::hole, {1, 0.1, 0.2}},
    {Role::pin, {0.1, 0.1, 0.2}},
    {Role::rod, {0.80, 0, 0.28}},
    {Role::coil, {1, 0, 0.42}},
    {Role::band, {1, 0, 0.5}},
    {Role::solid, {0, 0, 0.75}},
    {Role::wheel, {1, 0.15, 0.45}},
    {Role::limit, {0.2, 0.2, 0.3}},
    {Role::slide, {0.4, 0.4, 0.3}},
    {Role::ghost, {1, 0.42, 0.28, true}},
    {Role::mass, {0.96, 0.6, thin}},
    {Role::keepout, {0.96, 0.45, thin, true}},
    {Role::centre_of_gravity, {0, 0, 0.3}},
};

Stroke stroke_of(Role role) {
  for (const auto& [each, stroke] : strokes)
    if (each == role) return stroke;
  return {0.35, 0.35, 0.25};
}

/// Cairo in the terms of these drawings. Shades are of grey, 0 black, 1 white.
struct Pen {
  cairo_t* c;

  void grey(double shade) const { cairo_set_source_rgb(c, shade, shade, shade); }

  // What is traced is then filled, or filled and stroked, or stroked.

  void trace(const std::vector<Vec2>& points, bool closed) const {
    for (const Vec2& p : points) cairo_line_to(c, p.x(), p.y());
    if (closed) cairo_close_path(c);
  }

  void trace_ring(const Vec2& at, double radius) const {
    cairo_new_sub_path(c);
    cairo_arc(c, at.x(), at.y(), radius, 0, 2 * std::numbers::pi);
  }

  void trace_rectangle(const Vec2& low, const Vec2& size) const {
    cairo_rectangle(c, low.x(), low.y(), size.x(), size.y());
  }

  void fill(double shade, bool then_stroke = false) const {
    grey(shade);
    then_stroke ? cairo_fill_preserve(c) : cairo_fill(c);
  }

  void stroke(double width, double shade, bool dashed = false) const {
    const std::array<double, 2> lengths = {dash_on, dash_off};
    cairo_set_dash(c, lengths.data(), dashed ? 2 : 0, 0);
    cairo_set_line_width(c, width);
    grey(shade);
    cairo_stroke(c);
  }

  void line(const Vec2& a, const Vec2& b, double width, double shade) const {
    trace({a, b}, false);
    stroke(width, shade);
  }

  /// Words whose letters stand on a line.
  void words(const Vec2& at, std::string_view text, Face face, double shade = 0) const {
    set_face(c, face);
    grey(shade);
    cairo_move_to(c, at.x(), at.y());
    cairo_show_text(c, printable(text).c_str());
    cairo_new_path(c);
  }

  /// @param middle_y  of the line of letters
  void words_at_middle(double x, double middle_y, std::string_view text, Face face, double shade = 0) const {
    words(Vec2(x, middle_y + middle_to_base * letter_height_mm(face)), text, face, shade);
  }

  void words_in(const Box& box, std::string_view text, Face face, double shade = 0) const {
    const Vec2 middle = (box.low + box.high) / 2;
    words_at_middle(middle.x() - text_width_mm(text, face) / 2, middle.y(), text, face, shade);
  }

  void arrow_head(const Vec2& tip, const Vec2& direction, double length) const {
    const Vec2 back = tip - length * direction, side = 0.36 * length * Vec2(-direction.y(), direction.x());
    trace({tip, back + side, back - side}, true);
    fill(0);
  }
};

// ------------------------------------------------------------------------------------- drawings

struct DrawingPen {
  Pen pen;
  const SheetDrawing& drawing;

  Vec2 at(const Vec2& p_mm) const { return on_paper(drawing, p_mm); }

  void trace(const std::vector<Vec2>& points_mm, bool closed) const {
    std::vector<Vec2> points;
    for (const Vec2& p : points_mm) points.push_back(at(p));
    pen.trace(points, closed);
  }

  static void stroke(const Pen& pen, const Stroke& stroke, bool dashed = false) {
    pen.stroke(stroke.width, stroke.edge, stroke.dashed || dashed);
  }

  void operator()(const Area& area) const {
    const Stroke look = stroke_of(area.role);
    trace(area.points, true);
    if (area.filled) pen.fill(look.fill, true);
    stroke(pen, look);
  }

  void operator()(const Line& line) const {
    Stroke look = stroke_of(line.role);
    if (line.width_px <= 1) look.width = std::min(look.width, 0.22);
    trace(line.points, false);
    stroke(pen, look, line.dashed);
  }

  void operator()(const Disc& disc) const {
    const Stroke look = stroke_of(disc.role);
    pen.trace_ring(at(disc.centre), std::max(disc.radius_mm / drawing.reduced, 0.12));
    if (disc.filled) pen.fill(look.fill, disc.edge_px > 0);
    if (disc.edge_px > 0) stroke(pen, look);
    cairo_new_path(pen.c);
  }

  void operator()(const Mark& mark) const {
    const Stroke look = stroke_of(mark.role);
    const Vec2 p = at(mark.at);
    const double r = mark.size_px * mm_per_px;
    switch (mark.form) {
      case Mark::Form::quartered:
        pen.trace_ring(p, r);
        pen.fill(1, true);
        pen.stroke(look.width, look.edge);
        for (const double from : {0.0, std::numbers::pi}) {
          cairo_move_to(pen.c, p.x(), p.y());
          cairo_arc(pen.c, p.x(), p.y(), r, from, from + std::numbers::pi / 2);
          cairo_close_path(pen.c);
        }
        return pen.fill(look.edge);
      case Mark::Form::ring:
        pen.trace_ring(p, r);
        return pen.stroke(look.width, look.edge);
      case Mark::Form::diamond:
        pen.trace({p + Vec2(r, 0), p + Vec2(0, r), p - Vec2(r, 0), p - Vec2(0, r)}, true);
        return pen.fill(look.edge);
      case Mark::Form::cross:
        pen.line(p + Vec2(-r, -r), p + Vec2(r, r), look.width, look.edge);
        pen.line(p + Vec2(-r, r), p + Vec2(r, -r), look.width, look.edge);
    }
  }

  void operator()(const Label&) const {}  // the drawing has its own, placed for paper

  struct ArrowLook {
    double head_mm, head_share;  ///< the lesser of a length and a share of the arrow's
    double white_mm, black_mm;   ///< width of the line, and of the white one under it
    bool both_ends;
  };

  void arrow(const Vec2& from_mm, const Vec2& to_mm, const ArrowLook& look) const {
    const Vec2 a = at(from_mm), b = at(to_mm);
    const double length = (b - a).norm();
    if (length < 1e-6) return;
    const Vec2 direction = (b - a) / length;
    const double head = std::min(look.head_mm, look.head_share * length);
    pen.line(a, b, look.white_mm, 1);
    pen.line(a, look.both_ends ? b : b - 0.8 * head * direction, look.black_mm, 0);
    pen.arrow_head(b, direction, head);
    if (look.both_ends) pen.arrow_head(a, -direction, head);
  }

  void leader(const SheetLabel& each) const {
    if (!each.leader) return;
    const Vec2 end = nearest_in(each.box, each.about_mm);
    pen.line(each.about_mm, end, 0.7, 1);
    pen.line(each.about_mm, end, thin, 0);
    pen.trace_ring(each.about_mm, 0.4);
    pen.fill(0);
  }

  void label(const SheetLabel& each) const {
    if (each.numbered) {
      pen.trace_ring((each.box.low + each.box.high) / 2, (each.box.high.y() - each.box.low.y()) / 2);
      pen.fill(1, true);
      pen.stroke(0.35, 0);
    } else {
      pen.trace_rectangle(each.box.low, each.box.high - each.box.low);
      pen.fill(1);
    }
    pen.words_in(each.box, each.text, each.numbered ? Face::strong : Face::small);
  }

  /// Each cm is filled or not, in turn.
  void ruler() const {
    if (drawing.ruler_mm <= 0) return;
    constexpr double height = 1.4, step = 10;
    const Vec2& from = drawing.ruler_at_mm;
    for (int i = 0; i * step < drawing.ruler_mm - 1e-9; i += 2) {
      pen.trace_rectangle(from + Vec2(i * step, 0), Vec2(step, height));
      pen.fill(0);
    }
    pen.trace_rectangle(from + Vec2(thin / 2, thin / 2), Vec2(drawing.ruler_mm - thin, height - thin));
    pen.stroke(thin, 0);
    pen.words(from + Vec2(drawing.ruler_mm + 2, height), drawing.ruler_words, Face::small);
  }

  void all() const {
    cairo_set_line_join(pen.c, CAIRO_LINE_JOIN_ROUND);
    constexpr ArrowLook moved{2.6, 0.6, 1.5, 0.6, false}, dimension{1.6, 0.4, 0.8, thin, true};
    for (const Shape& shape : drawing.picture.shapes) std::visit(*this, shape);
    for (const SheetArrow& each : drawing.arrows) arrow(each.from_mm, each.to_mm, moved);
    for (const SheetArrow& each : drawing.dimensions) arrow(each.from_mm, each.to_mm, dimension);
    for (const SheetLabel& each : drawing.labels) leader(each);
    for (const SheetLabel& each : drawing.labels) label(each);
    for (const SheetLabel& each : drawing.grid_numbers) pen.words_in(each.box, each.text, Face::small, 0.35);
    ruler();
  }
};

// ----------------------------------------------------------------------------------------- pages

struct PagePen {
  Pen pen;

  /// Lines of words one below the other. @param x  of a line, by its text
  template <class X>
  void lines(const std::vector<std::string>& lines, double top, Face face, const X& x) const {
    double middle = top + line_height_mm(face) / 2;
    for (const std::string& line : lines) {
      pen.words_at_middle(x(line), middle, line, face);
      middle += line_height_mm(face);
    }
  }

  void operator()(const Words& words) const {
    if (words.listed) pen.words_at_middle(0.8, line_height_mm(words.face) / 2, "\u2013", words.face);
    lines(words.lines, 0, words.face, [&](const std::string&) { return words.listed ? list_indent : 0; });
  }

  void cell(const SheetColumn& column, double left, double top, const std::vector<std::string>& text, Face face) const {
    lines(text, top, face, [&](const std::string& line) {
      return column.numbers ? left + column.width_mm - cell_pad - text_width_mm(line, face) : left + cell_pad;
    });
  }

  void operator()(const SheetTable& table) const {
    double width = 0, bottom = table.head_mm;
    for (const SheetColumn& column : table.columns) width += column.width_mm;
    pen.line(Vec2(0, bottom), Vec2(width, bottom), 0.35, 0);
    for (const SheetRow& row : table.rows) {
      bottom += row.height_mm;
      pen.line(Vec2(0, bottom), Vec2(width, bottom), thin, rule_shade);
    }
    double x = 0;
    for (std::size_t i = 0; i < table.columns.size(); ++i) {
      const SheetColumn& column = table.columns[i];
      cell(column, x, head_pad, {column.heading}, Face::strong);
      if (!column.unit.empty()) cell(column, x, head_pad + line_height_mm(Face::strong), {column.unit}, Face::small);
      double y = table.head_mm;
      for (const SheetRow& row : table.rows) {
        if (i < row.cells.size()) cell(column, x, y + row_pad, row.cells[i].lines, Face::text);
        y += row.height_mm;
      }
      // What is to be written in by hand has a frame.
      if (column.blank)
        for (const double edge : {x, x + column.width_mm})
          pen.line(Vec2(edge, table.head_mm), Vec2(edge, bottom), thin, rule_shade);
      x += column.width_mm;
    }
  }

  void operator()(const SheetDrawing& drawing) const { DrawingPen{pen, drawing}.all(); }
};

void draw_page(cairo_t* c, const Sheet& sheet, int page) {
  const Pen pen{c};
  pen.grey(1);
  cairo_paint(c);
  cairo_set_line_cap(c, CAIRO_LINE_CAP_BUTT);
  for (const SheetBlock& block : at(sheet.pages, page).blocks) {
    cairo_save(c);
    cairo_translate(c, block.box.low.x(), block.box.low.y());
    std::visit(PagePen{pen}, block.what);
    cairo_restore(c);
  }
  const Paper& paper = sheet.facts.paper;
  const double base = paper.height_mm - 8, margin = left_margin_mm(paper);
  std::string left = sheet.facts.file;
  if (!sheet.facts.date.empty()) left += (left.empty() ? "" : ", ") + sheet.facts.date;
  const std::string right = fmt::format("{} of {}", page + 1, sheet.pages.size());
  pen.words(Vec2(margin, base), left, Face::small, 0.3);
  pen.words(Vec2(paper.width_mm - margin - text_width_mm(right, Face::small), base), right, Face::small, 0.3);
}

cairo_status_t append(void* to, const unsigned char* data, unsigned int size) {
  static_cast<std::string*>(to)->append(reinterpret_cast<const char*>(data), size);
  return CAIRO_STATUS_SUCCESS;
}

/// What a surface holds once it is done; nothing where something failed.
std::string finished(const Surface& surface, std::string& bytes) {
  cairo_surface_finish(surface.get());
  return cairo_surface_status(surface.get()) == CAIRO_STATUS_SUCCESS ? std::move(bytes) : "";
}

/// A bookmark for each heading of a page. @param printed_page  from 1
void add_bookmarks(cairo_surface_t* pdf, const Sheet& sheet, int page, std::size_t printed_page) {
  for (const SheetBlock& block : at(sheet.pages, page).blocks) {
    const auto* words = std::get_if<Words>(&block.what);
    if (!words || (words->face != Face::heading && words->face != Face::title)) continue;
    const Vec2 at_points = block.box.low * points_per_mm;
    const std::string link = fmt::format("page={} pos=[{:.3f} {:.3f}]", printed_page, at_points.x(), at_points.y());
    cairo_pdf_surface_add_outline(pdf, CAIRO_PDF_OUTLINE_ROOT, printable(words->text).c_str(), link.c_str(),
                                  static_cast<cairo_pdf_outline_flags_t>(0));
  }
}

// PNG's own integers have their most significant byte first, and each chunk ends with a CRC: PNG specification (W3C), 5.3, 7.1.

void put_integer(std::string& to, std::uint32_t value) {
  for (const int shift : {24, 16, 8, 0}) to += static_cast<char>((value >> shift) & 0xFF);
}

/// PNG specification, annex D.
std::uint32_t crc_of(std::string_view bytes) {
  std::uint32_t crc = 0xFFFFFFFF;
  for (const char byte : bytes) {
    crc ^= static_cast<unsigned char>(byte);
    for (int bit = 0; bit < 8; ++bit) crc = (crc >> 1) ^ ((crc & 1) != 0 ? 0xEDB88320 : 0);
  }
  return ~crc;
}

/// How large a pixel is: 11.3.5.3.
std::string size_chunk(int dpi) {
  const auto per_metre = static_cast<std::uint32_t>(std::lround(dpi / 0.0254));
  std::string content = "pHYs";
  put_integer(content, per_metre);
  put_integer(content, per_metre);
  content += '\1';  // the unit is the metre
  std::string chunk;
  put_integer(chunk, 9);
  chunk += content;
  put_integer(chunk, crc_of(content));
  return chunk;
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

std::string pdf_of(const Sheet& sheet, const std::vector<int>& pages) {
  const Paper& paper = sheet.facts.paper;
  std::string bytes;
  const Surface surface(cairo_pdf_surface_create_for_stream(append, &bytes, paper.width_mm * points_per_mm,
                                                            paper.height_mm * points_per_mm));
  cairo_pdf_surface_set_metadata(surface.get(), CAIRO_PDF_METADATA_TITLE, printable(sheet.title).c_str());
  // Without a date Cairo takes the clock's, and no two writes would be alike.
  const std::string date = sheet.facts.date.empty() ? "2000-01-01" : sheet.facts.date;
  cairo_pdf_surface_set_metadata(surface.get(), CAIRO_PDF_METADATA_CREATE_DATE, (date + "T00:00:00Z").c_str());
  std::vector<int> printed = pages;
  if (printed.empty()) {
    printed.resize(sheet.pages.size());
    std::iota(printed.begin(), printed.end(), 0);
  }
  {
    const Context context(cairo_create(surface.get()));
    cairo_scale(context.get(), points_per_mm, points_per_mm);
    for (std::size_t i = 0; i < printed.size(); ++i) {
      draw_page(context.get(), sheet, printed[i]);
      add_bookmarks(surface.get(), sheet, printed[i], i + 1);
      cairo_show_page(context.get());
    }
    if (cairo_status(context.get()) != CAIRO_STATUS_SUCCESS) return "";
  }
  return finished(surface, bytes);
}

std::string svg_of(const Sheet& sheet, int page) {
  const Paper& paper = sheet.facts.paper;
  std::string bytes;
  const Surface surface(cairo_svg_surface_create_for_stream(append, &bytes, paper.width_mm, paper.height_mm));
  cairo_svg_surface_set_document_unit(surface.get(), CAIRO_SVG_UNIT_MM);
  {
    const Context context(cairo_create(surface.get()));
    draw_page(context.get(), sheet, page);
    if (cairo_status(context.get()) != CAIRO_STATUS_SUCCESS) return "";
  }
  return finished(surface, bytes);
}

std::string png_of(const Sheet& sheet, int page, int dpi) {
  const double px_per_mm = dpi / 25.4;
  const auto pixels = [&](double mm) { return static_cast<int>(std::lround(mm * px_per_mm)); };
  const Surface surface(cairo_image_surface_create(CAIRO_FORMAT_RGB24, pixels(sheet.facts.paper.width_mm),
                                                   pixels(sheet.facts.paper.height_mm)));
  {
    const Context context(cairo_create(surface.get()));
    cairo_scale(context.get(), px_per_mm, px_per_mm);
    draw_page(context.get(), sheet, page);
    if (cairo_status(context.get()) != CAIRO_STATUS_SUCCESS) return "";
  }
  std::string bytes;
  if (cairo_surface_write_to_png_stream(surface.get(), append, &bytes) != CAIRO_STATUS_SUCCESS) return "";
  constexpr std::size_t after_header = 8 + 25;  // the signature, then IHDR, which is first: 5.2, 11.2.2
  // Cairo may write a chunk of its own; of one there may be only one.
  if (const std::size_t own = bytes.find("pHYs"); own != bytes.npos && own < bytes.find("IDAT"))
    bytes.erase(own - 4, size_chunk(dpi).size());
  return bytes.insert(after_header, size_chunk(dpi));
}

std::optional<Problem> write_sheet(const std::string& path, const Sheet& sheet) {
  const std::string bytes = pdf_of(sheet);
  if (!bytes.empty()) return write_file(path, bytes);
  return Problem{.code = "no-sheet",
                 .text = "the sheet could not be made into a PDF",
                 .hint = "that is a fault of this program, or it ran out of memory"};
}

}  // namespace ridepitch
