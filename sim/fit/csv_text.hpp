#pragma once
// A table of readings as a spreadsheet or a hand writes it: its columns and their units, cells with their places, numbers.

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
/// may lead. A row with more cells than the header is refused: mostly a decimal comma between commas. So is a line that is too
/// long for any table, and a table of more than `most` rows: then nothing else is told of it.
///
/// @returns none after a problem
std::optional<CsvTable> read_csv(Reading& reading, int file, std::size_t most);

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

/// Reads a table of at most `most` rows by `read_rows(table, numbers, readings)`. A file in which a comma may mark decimals or
/// thousands is refused.
/// @param path  names the file in problems
template <class Readings, class ReadRows>
ReadTable<Readings> read_table(const std::string& text, const std::string& path, std::size_t most, ReadRows read_rows);

/// The steps of that: before the rows, and behind the last one.
std::optional<CsvTable> begin_table(Reading& reading, const std::string& text, const std::string& path,
                                    std::size_t most);
void end_table(CsvNumbers& numbers);

template <class Readings, class ReadRows>
ReadTable<Readings> read_table(const std::string& text, const std::string& path, std::size_t most, ReadRows read_rows) {
  Reading reading;
  Readings out;
  if (const auto table = begin_table(reading, text, path, most)) {
    CsvNumbers numbers{reading};
    read_rows(*table, numbers, out);
    end_table(numbers);
  }
  if (reading.problems.empty()) return {std::move(out), {}};
  return {std::nullopt, in_line_order(reading.problems, reading.sources)};
}

enum class Measure {
  length,   ///< factor to mm
  modules,  ///< a length in holes; factor 1
  weight,   ///< factor to N
  words,    ///< no unit
};

/// A header cell taken apart: "Rear left (mm)" is the name "rear left", a length, factor 1.
struct MeasureColumn {
  std::string name;  ///< small letters, single blanks, unit taken off; may be empty
  Measure measure = Measure::words;
  double factor = 1;
  std::size_t index = 0;
  Place place;
  std::string heading;  ///< as written
};

/// Units stand behind the name, after a blank, an underscore, or in brackets: length_mm, "weight (g)", N.
/// Lengths: mm, cm, m, in. Weights: g, kg, mg, oz, lb (as a scale shows them, under standard gravity), N, mN, cN, kN.
std::vector<MeasureColumn> measure_columns(const CsvRow& header);

/// The words of a heading in small letters; whatever is neither letter nor digit parts them, bytes beyond ASCII are letters.
std::vector<std::string> words_of(std::string_view heading);

/// Whether one of some words stands in a column's name.
bool names_any(const MeasureColumn& column, const std::vector<std::string_view>& words);

/// A row's cell in a column; an empty one where the row ends before it.
CsvCell cell_of(const CsvRow& row, const MeasureColumn& column);

/// "mm, cm, m or in; g, kg, oz, lb or N": for hints.
inline constexpr const char* known_units =
    "known units are mm, cm, m and in for lengths, g, kg, oz, lb and N for weights";

}  // namespace ridepitch
