#pragma once
// A line of a CSV table as cells with their places.

#include <string>
#include <string_view>
#include <vector>

#include "model/problem.hpp"

namespace ridepitch {

struct CsvCell {
  std::string text;  ///< without blanks around it, quotes taken off
  Place place;
};

/// The cells of a line; a quote that is not closed runs to its end.
/// @param separator  ' ': any number of blanks
std::vector<CsvCell> csv_cells(std::string_view line, char separator, int file, int line_number);

}  // namespace ridepitch
