#pragma once
// A table of readings as a spreadsheet or a hand writes it: cells with their places, and numbers as the file writes them.

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "model/csv_line.hpp"
#include "model/reading.hpp"

namespace ridepitch {

using CsvRow = std::vector<CsvCell>;

struct CsvTable {
  CsvRow header;
  std::vector<CsvRow> rows;
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
struct CsvNumbers {
  Reading& reading;
  std::optional<Place> with_point = {}, with_comma = {}, unclear_comma = {};  ///< the first of each
  bool comma_is_clear = false;
};

/// What a cell says, or a problem: no number, a unit behind it, a thousands mark, the other decimal mark than before.
std::optional<double> read_number(CsvNumbers& numbers, const CsvCell& cell, std::string_view what);

/// What a table of readings says, or why it can't be read.
template <class Readings>
struct ReadTable {
  std::optional<Readings> readings;
  std::vector<Problem> problems;
};

/// Reads a table by `read_rows(table, numbers, readings)`. A file with more rows than `most` is refused, and one in which a
/// comma may mark decimals or thousands.
/// @param path  names the file in problems
template <class Readings, class ReadRows>
ReadTable<Readings> read_table(const std::string& text, const std::string& path, std::size_t most, ReadRows read_rows);

/// The steps of that: before the rows, and behind the last one.
std::optional<CsvTable> begin_table(Reading& reading, const std::string& text, const std::string& path);
void end_table(const CsvTable& table, std::size_t most, CsvNumbers& numbers);

template <class Readings, class ReadRows>
ReadTable<Readings> read_table(const std::string& text, const std::string& path, std::size_t most, ReadRows read_rows) {
  Reading reading;
  Readings out;
  if (const auto table = begin_table(reading, text, path)) {
    CsvNumbers numbers{reading};
    read_rows(*table, numbers, out);
    end_table(*table, most, numbers);
  }
  if (reading.problems.empty()) return {std::move(out), {}};
  return {std::nullopt, in_line_order(reading.problems, reading.sources)};
}

}  // namespace ridepitch
