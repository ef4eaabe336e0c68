#include "fit/csv_text.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <cctype>
#include <charconv>
#include <cmath>

#include "model/fields.hpp"
#include "model/text_file.hpp"
#include "model/units.hpp"

namespace ridepitch {
namespace {

struct Separator {
  char sign;
  const char* name;
};
constexpr std::size_t longest_line = 10'000;  // bytes; no table of readings has a line that comes near
constexpr Separator separators[] = {{';', "semicolons"}, {'\t', "tabs"}, {',', "commas"}, {' ', "blanks"}};

/// What separates the cells of a header: the first of these that stands in it outside of quotes, else blanks.
Separator separator_of(std::string_view header) {
  std::string unquoted;
  bool in_quotes = false;
  for (const char c : header) {
    if (c == '"') in_quotes = !in_quotes;
    if (!in_quotes) unquoted += c;
  }
  for (const Separator& each : separators)
    if (unquoted.find(each.sign) != std::string::npos) return each;
  return separators[3];
}

/// Cells at the end of a row that hold nothing are a spreadsheet's, not the builder's.
void drop_empty_end(CsvRow& row, std::size_t most) {
  while (row.size() > most && row.back().text.empty()) row.pop_back();
}

bool is_empty(const CsvRow& row) {
  return std::all_of(row.begin(), row.end(), [](const CsvCell& cell) { return cell.text.empty(); });
}

bool begins_like_a_number(std::string_view text) {
  return !text.empty() && (std::isdigit(static_cast<unsigned char>(text[0])) != 0 || text[0] == '.' || text[0] == '-');
}

bool all_digits(std::string_view text) {
  return !text.empty() && text.find_first_not_of("0123456789") == std::string_view::npos;
}

/// "1,250" or "12,000": decimals to some, thousands to others.
bool could_be_thousands(std::string_view text) {
  const std::size_t comma = text.find(',');
  const std::string_view before = text.substr(0, comma), after = text.substr(comma + 1);
  return all_digits(before) && before[0] != '0' && before.size() <= 3 && all_digits(after) && after.size() == 3;
}

/// What of a file is no text to begin with.
std::optional<Problem> unreadable(const Reading& reading, int file) {
  const std::string& text = reading.sources[static_cast<std::size_t>(file)].text;
  if (text.starts_with("\xFF\xFE") || text.starts_with("\xFE\xFF"))
    return Problem{.place = {file, 0, 0, 0},
                   .code = "not-utf8",
                   .text = "the file is UTF-16, not UTF-8",
                   .hint = "save it from the spreadsheet as 'CSV UTF-8'"};
  return text_problem(reading.sources, file);
}

/// All names of one unit, between blanks.
struct Unit {
  std::string_view names;
  Measure measure;
  double factor;
};

// The international inch, and the avoirdupois pound and ounce, are exact (international yard and pound agreement, 1959).
constexpr double mm_per_in = 25.4;
constexpr double g_per_lb = 453.59237;
constexpr double g_per_oz = g_per_lb / 16;

constexpr Unit units[] = {{" mm millimetres millimeters ", Measure::length, 1},
                          {" cm ", Measure::length, 10},
                          {" m ", Measure::length, 1000},
                          {" in inch inches ", Measure::length, mm_per_in},
                          {" module modules holes ", Measure::modules, 1},
                          {" g gf gr gram grams gramm ", Measure::weight, n_per_g},
                          {" mg ", Measure::weight, n_per_g / 1000},
                          {" kg kgf kilograms ", Measure::weight, n_per_g * 1000},
                          {" oz ozf ounce ounces ", Measure::weight, n_per_g* g_per_oz},
                          {" lb lbs lbf pounds ", Measure::weight, n_per_g* g_per_lb},
                          {" n newton newtons ", Measure::weight, 1},
                          {" mn ", Measure::weight, 1e-3},
                          {" cn ", Measure::weight, 1e-2},
                          {" kn ", Measure::weight, 1e3}};

}  // namespace

std::optional<CsvTable> read_csv(Reading& reading, int file, std::size_t most) {
  if (const auto problem = unreadable(reading, file)) {
    reading.problem(*problem);
    return std::nullopt;
  }
  const TextLines lines(reading.sources[static_cast<std::size_t>(file)].text);
  CsvTable table;
  Separator separator = {};
  for (int number = 1; number <= lines.count(); ++number) {
    const std::string_view line = without_comment(lines.line(number));
    if (without_blanks(line).empty()) continue;
    const auto wrong_file = [&](std::string text) {
      reading.problems.clear();
      reading.problem({file, number, 1, 1}, "too-many", std::move(text), "is it the right file?");
      return std::nullopt;
    };
    if (line.size() > longest_line) return wrong_file(fmt::format("this line has over {} letters", longest_line));
    if (table.rows.size() == most) return wrong_file(fmt::format("the file has over {} lines of readings", most));
    const bool is_header = table.header.empty();
    if (is_header) separator = separator_of(line);
    CsvRow row = csv_cells(line, separator.sign, file, number);
    const std::size_t columns = is_header ? 1 : table.header.size();
    drop_empty_end(row, columns);
    if (is_header) table.header = std::move(row);
    if (is_header || is_empty(row)) continue;
    if (row.size() > columns)
      reading.problem(row[columns].place, "too-many-cells",
                      fmt::format("this line has {} cells, but the header has {}, separated by {}", row.size(), columns,
                                  separator.name),
                      separator.sign == ','
                          ? "with decimal commas, separate the cells by semicolons, in the header too: length_mm;grams"
                          : "one cell for each column of the header");
    table.rows.push_back(std::move(row));
  }
  if (table.header.empty())
    reading.problem({file, 1, 1, 1}, "no-table", "the file holds no table",
                    "begin with a header line that gives the units, such as length_mm,grams; then one reading a line");
  return reading.problems.empty() ? std::optional(table) : std::nullopt;
}

std::optional<double> read_number(CsvNumbers& numbers, const CsvCell& cell, std::string_view what) {
  const auto refuse = [&](const char* code, std::string text, std::string hint) {
    numbers.reading.problem(cell.place, code, std::move(text), std::move(hint));
    return std::nullopt;
  };
  if (cell.text.empty())
    return refuse("empty-cell", fmt::format("{} is missing", what), "write the number, or remove the line");
  std::string text = cell.text;
  const std::string minus = "\xE2\x88\x92";  // U+2212, as spreadsheets print it
  if (text.starts_with(minus)) text.replace(0, minus.size(), "-");
  const auto points = std::count(text.begin(), text.end(), '.'), commas = std::count(text.begin(), text.end(), ',');
  if (points + commas > 1 && begins_like_a_number(text))
    return refuse("thousands",
                  fmt::format("{} is written {}, with more than one mark in it", what, in_quotes(cell.text)),
                  "write it without a mark for thousands: 1250.5");
  if (commas == 1 && begins_like_a_number(text)) {
    if (!could_be_thousands(text)) numbers.comma_is_clear = true;
    if (could_be_thousands(text) && !numbers.unclear_comma) numbers.unclear_comma = cell.place;
  }
  std::replace(text.begin(), text.end(), ',', '.');
  if (text.starts_with('+')) text.erase(0, 1);
  double value = 0;
  const char* const end = text.data() + text.size();
  const auto [stop, error] = std::from_chars(text.data(), end, value);
  if (error == std::errc() && stop != end) {
    const std::string rest(without_blanks(std::string_view(stop, static_cast<std::size_t>(end - stop))));
    return refuse("wrong-type",
                  fmt::format("{} is {}: {} stands behind the number", what, in_quotes(cell.text), in_quotes(rest)),
                  "units stand in the header only, as in length_mm,grams; a remark stands behind a '#'");
  }
  if (error != std::errc() || !std::isfinite(value))
    return refuse("wrong-type", fmt::format("{} is {}, which is not a number", what, in_quotes(cell.text)),
                  "write the number alone, or '#' before the line to leave it out");
  if (std::abs(value) > most_believable)
    return refuse("not-believable", fmt::format("{} is {}, which is not a believable number", what, cell.text),
                  "compare with what you wrote down");
  if (points == 1 && !numbers.with_point) numbers.with_point = cell.place;
  if (commas == 1 && !numbers.with_comma) numbers.with_comma = cell.place;
  if (const auto& other = points == 1 ? numbers.with_comma : numbers.with_point; other && points + commas == 1)
    return refuse("mixed-decimals",
                  fmt::format("{} is written with a decimal {}, but line {} has one with a decimal {}", what,
                              points == 1 ? "point" : "comma", other->line, points == 1 ? "comma" : "point"),
                  "use one mark throughout, and none for thousands");
  return value;
}

std::optional<CsvTable> begin_table(Reading& reading, const std::string& text, const std::string& path,
                                    std::size_t most) {
  std::string lines = text;  // a lone CR ends a line, too
  for (std::size_t i = 0; i < lines.size(); ++i)
    if (lines[i] == '\r' && (i + 1 == lines.size() || lines[i + 1] != '\n')) lines[i] = '\n';
  reading.sources.push_back({path, std::move(lines)});
  return read_csv(reading, 0, most);
}

void end_table(CsvNumbers& numbers) {
  if (numbers.unclear_comma && !numbers.comma_is_clear)
    numbers.reading.problem(*numbers.unclear_comma, "thousands",
                            "this may be thousands or decimals: nothing else in the file tells what its commas mean",
                            "write thousands without a mark (1250), or decimals with a point (1.25)");
}

std::vector<std::string> words_of(std::string_view heading) {
  std::vector<std::string> words(1);
  for (const char c : heading) {
    const auto byte = static_cast<unsigned char>(c);
    if (byte >= 0x80 || std::isalnum(byte) != 0) {
      words.back() += static_cast<char>(std::tolower(byte));
    } else if (!words.back().empty()) {
      words.emplace_back();
    }
  }
  if (words.back().empty()) words.pop_back();
  return words;
}

std::vector<MeasureColumn> measure_columns(const CsvRow& header) {
  std::vector<MeasureColumn> columns;
  for (const CsvCell& cell : header) {
    MeasureColumn column;
    column.index = columns.size();
    column.place = cell.place;
    column.heading = cell.text;
    std::vector<std::string> words = words_of(column.heading);
    const std::string last = words.empty() ? "" : " " + words.back() + " ";
    const auto unit = std::find_if(std::begin(units), std::end(units),
                                   [&](const Unit& u) { return !last.empty() && u.names.find(last) != u.names.npos; });
    if (unit != std::end(units)) {
      column.measure = unit->measure;
      column.factor = unit->factor;
      words.pop_back();
    }
    column.name = fmt::format("{}", fmt::join(words, " "));
    columns.push_back(std::move(column));
  }
  return columns;
}

bool names_any(const MeasureColumn& column, const std::vector<std::string_view>& words) {
  const std::vector<std::string> own = words_of(column.name);
  return std::find_first_of(own.begin(), own.end(), words.begin(), words.end()) != own.end();
}

CsvCell cell_of(const CsvRow& row, const MeasureColumn& column) {
  return column.index < row.size() ? row[column.index] : CsvCell{"", row.front().place};
}

}  // namespace ridepitch
