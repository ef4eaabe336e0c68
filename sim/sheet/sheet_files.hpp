#pragma once
// A sheet as files: PDF, SVG, PNG, HTML.

#include <optional>
#include <string>
#include <vector>

#include "model/write_file.hpp"
#include "sheet/sheet.hpp"

namespace ridepitch {

enum class SheetFormat { pdf, svg, png, html };

/// By the ending of a file's name, in capitals too; a name without an ending is a PDF. None: an ending of something else.
std::optional<SheetFormat> sheet_format(const std::string& path);

/// Names of the files of these pages: of several SVGs or PNGs FILE-1.svg, FILE-2.svg, by the numbers of the pages; else the path.
/// @param pages  indices, at least one
std::vector<std::string> sheet_paths(const std::string& path, SheetFormat format, const std::vector<int>& pages);

/// Those files, each with what stands in it. A text is empty where memory ran out.
/// @param dpi  of PNG
std::vector<FileToWrite> sheet_files(const Sheet& sheet, const std::string& path, SheetFormat format,
                                     const std::vector<int>& pages, int dpi);

/// One file that needs no other: each page an SVG, which prints on a page of its own.
std::string html_of(const Sheet& sheet, const std::vector<int>& pages);

}  // namespace ridepitch
