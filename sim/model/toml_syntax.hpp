#pragma once
// The parser's complaints in a builder's words.

#include <string_view>

#include "model/problem.hpp"
#include "model/text_file.hpp"

namespace ridepitch {

/// @param description  as the parser puts it: "Error while parsing array: encountered end-of-file"
/// @param stopped      where it stopped; a name that is given twice is shown where it stands instead
Problem syntax_problem(std::string_view description, Place stopped, const TextLines& lines);

/// Column and width of the last name in a header, "[a.b]" or "[[a.b]]", that begins at a column of a line.
/// Width 0 if none begins there.
struct NameInHeader {
  int column = 0;
  int width = 0;
};
NameInHeader name_in_header(std::string_view line, int column);

}  // namespace ridepitch
