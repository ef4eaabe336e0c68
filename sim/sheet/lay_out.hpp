#pragma once
// Words, tables and drawings onto pages.

#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "sheet/sheet.hpp"

namespace ridepitch {

struct SheetPiece {
  std::variant<Words, SheetTable, SheetDrawing> what;
  double above_mm = 1.5;         ///< air above it, where it does not begin a page
  bool stays_with_next = false;  ///< no page ends between it and the next
};

/// A text broken between words; a word that is longer than the width, within it.
std::vector<std::string> broken(std::string_view text, double width_mm, Face face);

/// Tables go on from page to page under their headings again; a row stays whole, as words and drawings do.
std::vector<SheetPage> lay_out(std::vector<SheetPiece> pieces, const Paper& paper = a4);

}  // namespace ridepitch
