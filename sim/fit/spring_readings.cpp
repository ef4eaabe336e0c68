#include "fit/spring_readings.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "fit/csv_text.hpp"
#include "fit/measure_columns.hpp"
#include "model/fields.hpp"

namespace ridepitch {
namespace {

constexpr std::size_t most_readings = 1000;

// A pass is a run of readings in one direction; a shorter one is chance.
constexpr std::size_t least_run = 3;

const std::vector<std::string_view> pass_names = {"pass", "direction", "dir", "way"};
const std::vector<std::string_view> squeeze_names = {"compression", "deflection", "shortening", "squeeze", "travel"};
const std::vector<std::string_view> stretch_names = {"extension", "stretch", "lengthening"};
const std::vector<std::string_view> length_names = {"length", "len", "distance", "height"};
const std::vector<std::string_view> weight_names = {"weight", "force", "load", "scale", "reading", "mass"};

constexpr const char* example_header = "length_mm,grams";

/// The columns that matter.
struct Columns {
  MeasureColumn length, weight;
  std::optional<MeasureColumn> pass;
  std::vector<std::string> ignored;
};

bool looks_like_numbers(const CsvRow& header) {
  return std::all_of(header.cells.begin(), header.cells.end(), [](const CsvCell& cell) {
    return !cell.text.empty() && cell.text.find_first_not_of("0123456789.,+-") == std::string::npos;
  });
}

/// The one column of a measure, or a problem that says which ones there are.
std::optional<MeasureColumn> only_one(Reading& reading, const CsvRow& header, const std::vector<MeasureColumn>& found,
                                      const char* what, const char* example) {
  if (found.size() == 1) return found[0];
  if (found.empty()) {
    reading.problem(header.place, "no-column", fmt::format("the header has no column of {} with a unit", what),
                    fmt::format("write the unit behind the name: {}; {}", example, known_units));
  } else {
    reading.problem(found[1].place, "two-columns",
                    fmt::format("the header has two columns of {}: {} and {}", what, in_quotes(found[0].heading),
                                in_quotes(found[1].heading)),
                    "keep one of them");
  }
  return std::nullopt;
}

std::optional<Columns> find_columns(Reading& reading, const CsvRow& header) {
  if (looks_like_numbers(header)) {
    reading.problem(header.place, "no-header", "the first line holds numbers, not a header",
                    fmt::format("put a header line before it that gives the units: {}", example_header));
    return std::nullopt;
  }
  Columns columns;
  std::vector<MeasureColumn> lengths, weights;
  for (const MeasureColumn& column : measure_columns(header)) {
    const bool length_word =
        names_any(column, length_names) || names_any(column, squeeze_names) || names_any(column, stretch_names);
    if (column.measure == Measure::length) {
      lengths.push_back(column);
    } else if (column.measure == Measure::weight) {
      weights.push_back(column);
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
  if (!reading.problems.empty()) return std::nullopt;
  const auto length = only_one(reading, header, lengths, "lengths", "length_mm");
  const auto weight = only_one(reading, header, weights, "scale readings", "grams");
  if (!length || !weight) return std::nullopt;
  columns.length = *length;
  columns.weight = *weight;
  return columns;
}

/// Which way a cell says; a problem if it says neither.
Pass read_pass(Reading& reading, const CsvCell& cell) {
  constexpr std::array<std::string_view, 12> more = {"pressing", "press",     "loading",    "load",    "down", "in",
                                                     "squeeze",  "squeezing", "stretching", "stretch", "+",    "more"};
  constexpr std::array<std::string_view, 12> less = {"releasing", "release",  "unloading", "unload", "up", "out",
                                                     "relax",     "relaxing", "back",      "return", "-",  "less"};
  std::string word = cell.text;
  std::transform(word.begin(), word.end(), word.begin(),
                 [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
  if (word.empty()) return Pass::unknown;
  if (std::find(more.begin(), more.end(), word) != more.end()) return Pass::more;
  if (std::find(less.begin(), less.end(), word) != less.end()) return Pass::less;
  reading.problem(cell.place, "unknown-name",
                  fmt::format("{} does not say which way the reading was taken", in_quotes(cell.text)),
                  "write pressing or releasing (for a band: stretching or relaxing), or leave the cell empty");
  return Pass::unknown;
}

/// The sign of the force's growth with length: which way is "more".
bool grows_with_length(const std::vector<SpringReading>& readings) {
  double mean_mm = 0, mean_n = 0, both = 0;
  for (const SpringReading& reading : readings) {
    mean_mm += reading.length_mm / static_cast<double>(readings.size());
    mean_n += reading.force_n / static_cast<double>(readings.size());
  }
  for (const SpringReading& reading : readings) both += (reading.length_mm - mean_mm) * (reading.force_n - mean_n);
  return both > 0;
}

/// Tells which way each reading was taken from the order of the lengths, where they go up and down in runs of three and
/// more. The turn itself still belongs to the run that led there; a length that stays keeps its direction.
bool passes_from_order(std::vector<SpringReading>& readings) {
  if (readings.size() < least_run) return false;
  const double towards_more = grows_with_length(readings) ? 1 : -1;
  std::vector<Pass> passes(readings.size(), Pass::unknown);
  for (std::size_t i = 1; i < readings.size(); ++i) {
    const double step = towards_more * (readings[i].length_mm - readings[i - 1].length_mm);
    passes[i] = step > 0 ? Pass::more : step < 0 ? Pass::less : passes[i - 1];
  }
  const auto first_known = std::find_if(passes.begin(), passes.end(), [](Pass pass) { return pass != Pass::unknown; });
  if (first_known == passes.end()) return false;
  std::fill(passes.begin(), first_known, *first_known);
  for (std::size_t begin = 0, end = 0; begin < passes.size(); begin = end) {
    while (end < passes.size() && passes[end] == passes[begin]) ++end;
    // The first reading of a run stands before it; a run that is cut short at either end of the table is fine.
    const std::size_t moved = end - begin + (begin > 0 ? 1 : 0);
    if (moved < least_run) return false;
  }
  for (std::size_t i = 0; i < readings.size(); ++i) readings[i].pass = passes[i];
  return true;
}

}  // namespace

ReadSpringReadings read_spring_readings(const std::string& text, const std::string& path,
                                        std::optional<double> free_mm) {
  Reading reading;
  reading.sources.push_back({path, with_newlines(text)});
  const auto refused = [&] {
    return ReadSpringReadings{std::nullopt, in_line_order(reading.problems, reading.sources)};
  };
  const auto table = read_csv(reading, 0);
  if (!table) return refused();
  const auto columns = find_columns(reading, table->header);
  if (!columns) return refused();

  const bool squeezed = names_any(columns->length, squeeze_names),
             stretched = names_any(columns->length, stretch_names);
  if ((squeezed || stretched) && !free_mm) {
    reading.problem(
        columns->length.place, "free-length",
        fmt::format("column {} counts from the free length, which is not known", in_quotes(columns->length.heading)),
        "measure the unloaded spring between its hole centres and add --free-mm MM");
    return refused();
  }
  SpringReadings out;
  out.ignored = columns->ignored;
  CsvNumbers numbers(reading);
  const auto cell = [](const CsvRow& row, const MeasureColumn& column) {
    const auto index = static_cast<std::size_t>(column.index);
    return index < row.cells.size() ? row.cells[index] : CsvCell{"", false, row.place};
  };
  for (const CsvRow& row : table->rows) {
    SpringReading one;
    one.place = {0, row.place.line, 0, 0};
    const CsvCell length = cell(row, columns->length), weight = cell(row, columns->weight);
    const auto mm = numbers.read(length, squeezed || stretched ? "the change of length" : "the length");
    const auto grams = numbers.read(weight, "the scale reading");
    if (columns->pass) one.pass = read_pass(reading, cell(row, *columns->pass));
    if (!mm || !grams) continue;
    one.length_mm = *mm * columns->length.factor;
    if (squeezed) one.length_mm = *free_mm - one.length_mm;
    if (stretched) one.length_mm = *free_mm + one.length_mm;
    one.force_n = *grams * columns->weight.factor;
    if (one.length_mm <= 0) {
      reading.problem(length.place, "out-of-range",
                      fmt::format("the spring would be {:.6g} mm long here", one.length_mm),
                      "lengths run between hole centres and are above 0");
    }
    if (one.force_n < 0) {
      reading.problem(weight.place, "negative", "the scale reading is under 0",
                      "set the scale to 0 with nothing but the empty jig on it, and read again");
    }
    out.readings.push_back(one);
  }
  numbers.finish();
  if (out.readings.size() > most_readings) {
    reading.problem(out.readings.back().place, "too-many", fmt::format("the file has over {} readings", most_readings),
                    "is it the right file?");
  }
  if (!reading.problems.empty()) return refused();
  if (!columns->pass) out.passes_from_order = passes_from_order(out.readings);
  return {std::move(out), {}};
}

}  // namespace ridepitch
