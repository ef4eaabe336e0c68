#pragma once
// What the columns of a table of readings are: a length or a weight in some unit, told by the header.

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "fit/csv_text.hpp"

namespace ridepitch {

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
