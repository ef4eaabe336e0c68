#include "fit/spring_readings.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "model/fields.hpp"
#include "model/text_file.hpp"

namespace ridepitch {
namespace {

constexpr std::size_t most_readings = 1000;

// A pass is a run of readings in one direction; a shorter one is chance.
constexpr std::size_t least_run = 3;

using Names = std::vector<std::string_view>;
const Names pass_names = {"pass", "direction", "dir", "way"};
const Names squeeze_names = {"compression", "deflection", "shortening", "squeeze", "travel"};
const Names stretch_names = {"extension", "stretch", "lengthening"};
const Names length_names = {"length", "len", "distance", "height"};
const Names weight_names = {"weight", "force", "load", "scale", "reading", "mass"};
const Names more_words = {"pressing", "press",     "loading",    "load",    "down", "in",
                          "squeeze",  "squeezing", "stretching", "stretch", "+",    "more"};
const Names less_words = {"releasing", "release",  "unloading", "unload", "up", "out",
                          "relax",     "relaxing", "back",      "return", "-",  "less"};

/// The columns that matter.
struct SpringColumns {
  std::vector<MeasureColumn> lengths, weights;  ///< of each there is to be one
  std::optional<MeasureColumn> pass;
  std::vector<std::string> ignored;
};

/// Refuses a header without a column of a measure, or with more than one.
void want_one(Reading& reading, const CsvRow& header, const std::vector<MeasureColumn>& found, const char* what,
              const char* such_as) {
  if (found.empty())
    reading.problem(header.front().place, "no-column", fmt::format("the header has no column of {} with a unit", what),
                    fmt::format("write the unit behind the name: {}; {}", such_as, known_units));
  if (found.size() > 1)
    reading.problem(found[1].place, "two-columns",
                    fmt::format("the header has two columns of {}: {} and {}", what, in_quotes(found[0].heading),
                                in_quotes(found[1].heading)),
                    "keep one of them");
}

void find_column(Reading& reading, const MeasureColumn& column, SpringColumns& columns) {
  const bool length_word =
      names_any(column, length_names) || names_any(column, squeeze_names) || names_any(column, stretch_names);
  if (column.measure == Measure::length) {
    columns.lengths.push_back(column);
  } else if (column.measure == Measure::weight) {
    columns.weights.push_back(column);
  } else if (column.measure == Measure::modules) {
    reading.problem(column.place, "unknown-unit",
                    fmt::format("column {} is in holes, too coarse for a spring", in_quotes(column.heading)),
                    "measure the length in mm between the hole centres of its ends");
  } else if (length_word || names_any(column, weight_names)) {
    reading.problem(column.place, "unknown-unit",
                    fmt::format("column {} has no unit known here", in_quotes(column.heading)),
                    fmt::format("{}: {}", length_word ? "length_mm, say" : "weight_g, say", known_units));
  } else if (names_any(column, pass_names) && !columns.pass) {
    columns.pass = column;
  } else {
    columns.ignored.push_back(column.heading);
  }
}

SpringColumns find_columns(Reading& reading, const CsvRow& header) {
  SpringColumns columns;
  const bool numbers = std::all_of(header.begin(), header.end(), [](const CsvCell& cell) {
    return !cell.text.empty() && cell.text.find_first_not_of("0123456789.,+-") == std::string::npos;
  });
  if (numbers) {
    reading.problem(header.front().place, "no-header", "the first line holds numbers, not a header",
                    "put a header line before it that gives the units: length_mm,grams");
    return columns;
  }
  for (const MeasureColumn& column : measure_columns(header)) find_column(reading, column, columns);
  if (!reading.problems.empty()) return columns;
  want_one(reading, header, columns.lengths, "lengths", "length_mm");
  want_one(reading, header, columns.weights, "scale readings", "grams");
  return columns;
}

/// The direction that a cell names; a problem if it names neither.
Pass read_pass(Reading& reading, const CsvCell& cell) {
  const std::string word = small_letters(cell.text);
  if (word.empty()) return Pass::unknown;
  if (holds(more_words, word)) return Pass::more;
  if (holds(less_words, word)) return Pass::less;
  reading.problem(cell.place, "unknown-name",
                  fmt::format("{} does not say in which direction the reading was taken", in_quotes(cell.text)),
                  "write pressing or releasing (for a band: stretching or relaxing), or leave the cell empty");
  return Pass::unknown;
}

/// The sign of the force's growth with length: in which direction is "more".
bool grows_with_length(const std::vector<SpringReading>& readings) {
  double mean_mm = 0, mean_n = 0, both = 0;
  for (const SpringReading& reading : readings) {
    mean_mm += reading.length_mm / static_cast<double>(readings.size());
    mean_n += reading.force_n / static_cast<double>(readings.size());
  }
  for (const SpringReading& reading : readings) both += (reading.length_mm - mean_mm) * (reading.force_n - mean_n);
  return both > 0;
}

/// Tells in which direction each reading was taken from the order of the lengths, where they go up and down in runs of three and
/// more. The turn itself still belongs to the run that led there; a length that stays keeps its direction.
void passes_from_order(std::vector<SpringReading>& readings) {
  if (readings.size() < least_run) return;
  const double towards_more = grows_with_length(readings) ? 1 : -1;
  std::vector<Pass> passes(readings.size(), Pass::unknown);
  for (std::size_t i = 1; i < readings.size(); ++i) {
    const double step = towards_more * (readings[i].length_mm - readings[i - 1].length_mm);
    passes[i] = step > 0 ? Pass::more : step < 0 ? Pass::less : passes[i - 1];
  }
  const auto first_known = std::find_if(passes.begin(), passes.end(), [](Pass pass) { return pass != Pass::unknown; });
  if (first_known == passes.end()) return;
  std::fill(passes.begin(), first_known, *first_known);
  for (std::size_t begin = 0, end = 0; begin < passes.size(); begin = end) {
    while (end < passes.size() && passes[end] == passes[begin]) ++end;
    // The first reading of a run stands before it; a run that is cut short at either end of the table is fine.
    const std::size_t moved = end - begin + (begin > 0 ? 1 : 0);
    if (moved < least_run) return;
  }
  for (std::size_t i = 0; i < readings.size(); ++i) readings[i].pass = passes[i];
}

/// What a column of lengths counts from, and in which direction.
struct Origin {
  double from_mm = 0, sign = 1;
};

void read_row(const CsvRow& row, const SpringColumns& columns, const Origin& origin, CsvNumbers& numbers,
              std::vector<SpringReading>& readings) {
  const CsvCell length = cell_of(row, columns.lengths[0]), weight = cell_of(row, columns.weights[0]);
  const auto mm = read_number(numbers, length, origin.from_mm > 0 ? "the change of length" : "the length");
  const auto grams = read_number(numbers, weight, "the scale reading");
  SpringReading out;
  out.place = {0, row.front().place.line, 0, 0};
  if (columns.pass) out.pass = read_pass(numbers.reading, cell_of(row, *columns.pass));
  if (!mm || !grams) return;
  out.length_mm = origin.from_mm + origin.sign * *mm * columns.lengths[0].factor;
  out.force_n = *grams * columns.weights[0].factor;
  if (out.length_mm <= 0 || out.length_mm > most_spring_mm)
    numbers.reading.problem(length.place, "out-of-range",
                            fmt::format("the spring would be {:.6g} mm long here", out.length_mm),
                            fmt::format("lengths run between hole centres, are above 0 and at most {} mm; is the unit "
                                        "in the header right?",
                                        most_spring_mm));
  if (out.force_n < 0)
    numbers.reading.problem(weight.place, "negative", "the scale reading is under 0",
                            "set the scale to 0 with nothing but the empty jig on it, and read again");
  readings.push_back(out);
}

void read_rows(const CsvTable& table, std::optional<double> free_mm, CsvNumbers& numbers, SpringReadings& out) {
  const SpringColumns columns = find_columns(numbers.reading, table.header);
  if (!numbers.reading.problems.empty()) return;
  const MeasureColumn& length = columns.lengths[0];
  const bool squeezed = names_any(length, squeeze_names), from_free = squeezed || names_any(length, stretch_names);
  if (from_free && !free_mm) {
    numbers.reading.problem(
        length.place, "free-length",
        fmt::format("column {} counts from the free length, which is not known", in_quotes(length.heading)),
        "measure the unloaded spring between its hole centres and add --free-mm MM");
    return;
  }
  const Origin origin = from_free ? Origin{*free_mm, squeezed ? -1.0 : 1.0} : Origin{};
  out.ignored = columns.ignored;
  for (const CsvRow& row : table.rows) read_row(row, columns, origin, numbers, out.readings);
  if (!columns.pass) passes_from_order(out.readings);
}

}  // namespace

ReadSpringReadings read_spring_readings(const std::string& text, const std::string& path,
                                        std::optional<double> free_mm) {
  return read_table<SpringReadings>(text, path, most_readings,
                                    [&](const CsvTable& table, CsvNumbers& numbers, SpringReadings& out) {
                                      read_rows(table, free_mm, numbers, out);
                                    });
}

}  // namespace ridepitch
