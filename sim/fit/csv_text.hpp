#pragma once
// A table of numbers as a spreadsheet or a hand writes it: cells with their places, and numbers in the way of the file.

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "model/problem.hpp"
#include "model/reading.hpp"

namespace ridepitch {

struct CsvCell {
  std::string text;  ///< without blanks around it, quotes taken off
  bool quoted = false;
  Place place;
};

struct CsvRow {
  std::vector<CsvCell> cells;
  Place place;  ///< of its first cell
};

struct CsvTable {
  CsvRow header;
  std::vector<CsvRow> rows;
  char separator = ',';  ///< ';', tab, ',' or ' ' (any number of blanks)
};

/// Splits reading.sources[file] into its header and rows.
///
/// Blank lines, lines of separators only, and what follows a '#' are left out. The header line tells the separator: a
/// semicolon if it has one, else a tab, else a comma, else blanks. Lines may end in LF, CRLF or CR, and a byte order mark
/// may lead. A row with more cells than the header is refused: mostly a decimal comma between commas.
///
/// @returns none after a problem
std::optional<CsvTable> read_csv(Reading& reading, int file);

/// Numbers of one file, which are all written with a decimal point or all with a decimal comma.
class CsvNumbers {
 public:
  explicit CsvNumbers(Reading& to) : reading(to) {}

  /// What a cell says, or a problem: no number, a unit behind it, a thousands mark, the other decimal mark than before.
  std::optional<double> read(const CsvCell& cell, std::string_view what);

  /// To be called after the last number: refuses a file in which a comma may mark decimals or thousands.
  void finish();

 private:
  Reading& reading;
  std::optional<Place> with_point, with_comma, unclear_comma;
  bool comma_is_clear = false;
};

/// The source made ready for `read_csv`: a lone CR ends a line.
std::string with_newlines(std::string text);

}  // namespace ridepitch
