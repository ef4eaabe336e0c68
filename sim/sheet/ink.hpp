#pragma once
// Ink on paper, by Cairo.

#include <optional>
#include <string>
#include <string_view>

#include "model/problem.hpp"
#include "sheet/sheet.hpp"

namespace ridepitch {

/// Height of a face's letters, from line to line without air [mm].
double letter_height_mm(Face face);
/// From one line of words to the next [mm].
double line_height_mm(Face face);
/// How wide a text prints [mm].
double text_width_mm(std::string_view text, Face face);

/// The sheet as PDF: equal bytes of equal sheets.
std::string pdf_of(const Sheet& sheet);

/// Writes the PDF as write_file() does: whole, or not at all. @returns what is wrong if it could not be written
std::optional<Problem> write_sheet(const std::string& path, const Sheet& sheet);

}  // namespace ridepitch
