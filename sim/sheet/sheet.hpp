#pragma once
// The sheet for a building instruction: what a rework changed, or how a model stands. Plain data; ink.hpp prints it.

#include <string>
#include <variant>
#include <vector>

#include "picture/shapes.hpp"
#include "steer/quantity_readers.hpp"
#include "swap/compare.hpp"
#include "swap/keep.hpp"

namespace ridepitch {

/// Upright.
struct Paper {
  double width_mm = 0, height_mm = 0;

  bool operator==(const Paper&) const = default;
};
inline constexpr Paper a4{210, 297};          // ISO 216
inline constexpr Paper letter{215.9, 279.4};  // ANSI/ASME Y14.1, size A: 8.5 by 11 inches of 25.4 mm

/// Free above and below, but for the footer.
inline constexpr double paper_margin_mm = 15;
/// Of all papers, so that tables and drawings break alike on each.
inline constexpr double text_width_on_page_mm = a4.width_mm - 2 * paper_margin_mm;

constexpr double text_height_on_page_mm(const Paper& paper) { return paper.height_mm - 2 * paper_margin_mm; }
constexpr double left_margin_mm(const Paper& paper) { return (paper.width_mm - text_width_on_page_mm) / 2; }

/// How words are set.
enum class Face { title, heading, text, strong, small };

struct Words {
  std::string text;
  Face face = Face::text;
  bool listed = false;                  ///< an item of a list, with a dash before it
  std::vector<std::string> lines = {};  ///< as broken to the width of the page
};

struct SheetColumn {
  std::string heading;
  std::string unit = {};    ///< stands under the heading
  bool numbers = true;      ///< set to the right
  bool blank = false;       ///< left free, to be written in by hand
  double width_mm = 0;      ///< as laid out
  double wanted_share = 0;  ///< of the width that is left over by the others; 0: as wide as its cells
};

struct SheetCell {
  std::string text;
  std::vector<std::string> lines = {};  ///< as broken to the width of its column
};

struct SheetRow {
  std::vector<SheetCell> cells;
  double height_mm = 0;  ///< as laid out
};

struct SheetTable {
  std::vector<SheetColumn> columns;
  std::vector<SheetRow> rows;
  double head_mm = 0;  ///< height of the headings, as laid out
};

/// Words or a number in a drawing that touch nothing else; a line leads to what they are about where that is not beside them.
struct SheetLabel {
  std::string text;
  Box box;                       ///< on paper [mm], from the drawing's upper left
  Vec2 about_mm = Vec2::Zero();  ///< on paper
  bool leader = false;
  bool numbered = false;  ///< a number in a ring, which the table of changes explains
};

/// From where something was to where it is, or a distance with its ends [mm of the picture's plane].
struct SheetArrow {
  Vec2 from_mm = Vec2::Zero(), to_mm = Vec2::Zero();
};

struct SheetDrawing {
  Picture picture;                ///< in mm of its plane; its labels are not printed, those below are
  int reduced = 1;                ///< the scale is 1 : reduced
  Vec2 origin_mm = Vec2::Zero();  ///< where the plane's (0, 0) is on paper
  Vec2 size_mm = Vec2::Zero();    ///< of the whole drawing, on paper
  std::vector<SheetArrow> arrows = {};
  std::vector<SheetArrow> dimensions = {};
  std::vector<SheetLabel> labels = {};        ///< placed so that no two touch
  std::vector<SheetLabel> grid_numbers = {};  ///< along the lower and left edge: modules
  double ruler_mm = 0;              ///< length on paper of the bar that shows whether a print is true; 0: none
  Vec2 ruler_at_mm = Vec2::Zero();  ///< its left end
  std::string ruler_words = {};     ///< beside it
};

/// Where a point of a drawing's plane is on its paper.
Vec2 on_paper(const SheetDrawing& drawing, const Vec2& p_mm);

struct SheetBlock {
  Box box;  ///< on the page [mm], from its upper left
  std::variant<Words, SheetTable, SheetDrawing> what;
};

struct SheetPage {
  std::vector<SheetBlock> blocks;
};

/// What only the caller knows.
struct SheetFacts {
  std::string for_whom;  ///< "the builder of the tug"; may be empty
  std::string file;      ///< name of the model's file, for the footer
  std::string
      date;  ///< ISO 8601, "2026-11-28": in the footer and the PDF, so that the same input prints the same bytes
  Paper paper = a4;
};

struct Sheet {
  std::string title;
  SheetFacts facts;
  std::vector<SheetPage> pages;
};

/// A model alone: its drawings, what ruler and scale will read, its numbers.
Sheet make_sheet(const Results& model, const SheetFacts& facts);

/// What to change to get from one to the other, whether it then stands the same, and the drawings of what changed.
/// @param comparison  of these two
/// @param keep  what it was judged by
Sheet make_sheet(const Results& before, const Results& after, const Comparison& comparison, const Keep& keep,
                 const SheetFacts& facts);

}  // namespace ridepitch
