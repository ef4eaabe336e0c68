#pragma once
// Ink on paper, by Cairo.

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "model/problem.hpp"
#include "sheet/sheet.hpp"

namespace ridepitch {

/// Height of a face's letters, from line to line without air [mm].
double letter_height_mm(Face face);
/// From one line of words to the next [mm].
double line_height_mm(Face face);
/// How wide a text prints [mm].
double text_width_mm(std::string_view text, Face face);

// Each of these makes equal bytes of equal sheets, and none where memory ran out.

/// The sheet as PDF: text that can be searched, a bookmark for each heading.
/// @param pages  indices; empty: all of them
std::string pdf_of(const Sheet& sheet, const std::vector<int>& pages = {});

/// One page as SVG, its user unit a mm.
std::string svg_of(const Sheet& sheet, int page);

/// One page as PNG, as many pixels as the paper has, rounded, which its pHYs chunk says.
std::string png_of(const Sheet& sheet, int page, int dpi);

/// Writes the PDF as write_file() does: whole, or not at all. @returns what is wrong if it could not be written
std::optional<Problem> write_sheet(const std::string& path, const Sheet& sheet);

}  // namespace ridepitch
