#include "fit/csv_text.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>

#include "model/fields.hpp"
#include "model/text_file.hpp"

namespace ridepitch {
namespace {

constexpr std::string_view blanks = " \t\xC2\xA0";  // the last two are a no-break space

std::string_view without_blanks(std::string_view text) {
  const auto begin = text.find_first_not_of(blanks);
  if (begin == std::string_view::npos) return {};
  return text.substr(begin, text.find_last_not_of(blanks) - begin + 1);
}

/// A line without the comment at its end; a '#' in quotes is none.
std::string_view without_comment(std::string_view line) {
  bool in_quotes = false;
  for (std::size_t i = 0; i < line.size(); ++i) {
    if (line[i] == '"') in_quotes = !in_quotes;
    if (line[i] == '#' && !in_quotes) return line.substr(0, i);
  }
  return line;
}

/// What separates the cells of a header: the first of these that stands in it outside of quotes.
char separator_of(std::string_view header) {
  std::string unquoted;
  bool in_quotes = false;
  for (const char c : header) {
    if (c == '"') in_quotes = !in_quotes;
    if (!in_quotes) unquoted += c;
  }
  for (const char separator : {';', '\t', ','}) {
    if (unquoted.find(separator) != std::string::npos) return separator;
  }
  return ' ';
}

/// One line being cut into cells.
struct Cutter {
  std::string_view line;
  char separator;
  int file, number;
  std::size_t at = 0;

  void skip_blanks() {
    while (at < line.size() && line[at] != separator && blanks.find(line[at]) != std::string_view::npos) ++at;
    while (separator == ' ' && at < line.size() && blanks.find(line[at]) != std::string_view::npos) ++at;
  }

  CsvCell quoted_cell() {
    CsvCell cell;
    cell.quoted = true;
    for (++at; at < line.size(); ++at) {
      if (line[at] == '"') {
        if (line.substr(at + 1, 1) != "\"") break;
        ++at;  // doubled: it means itself
      }
      cell.text += line[at];
    }
    // What stands behind the closing quote belongs to the cell, and makes it something that no one knows.
    const std::size_t end = std::min(line.find(separator, at), line.size());
    if (at < line.size()) cell.text += without_blanks(line.substr(at + 1, end - std::min(at + 1, end)));
    at = end;
    return cell;
  }

  CsvCell plain_cell() {
    const std::size_t end = std::min(line.find(separator, at), line.size());
    CsvCell cell;
    cell.text = without_blanks(line.substr(at, end - at));
    at = end;
    return cell;
  }

  std::vector<CsvCell> cells() {
    std::vector<CsvCell> cells;
    while (true) {
      skip_blanks();
      const std::size_t begin = at;
      CsvCell cell = at < line.size() && line[at] == '"' ? quoted_cell() : plain_cell();
      const int width = code_points(without_blanks(line.substr(begin, at - begin)));
      cell.place = {file, number, column_of_byte(line, begin), std::max(width, 1)};
      cells.push_back(std::move(cell));
      if (separator == ' ') skip_blanks();
      if (at >= line.size()) return cells;
      if (separator != ' ') ++at;
    }
  }
};

CsvRow cut(std::string_view line, char separator, int file, int number) {
  Cutter cutter{line, separator, file, number};
  CsvRow row;
  row.cells = cutter.cells();
  row.place = row.cells.front().place;
  return row;
}

bool is_empty(const CsvRow& row) {
  return std::all_of(row.cells.begin(), row.cells.end(), [](const CsvCell& cell) { return cell.text.empty(); });
}

std::string name_of(char separator) {
  switch (separator) {
    case ';':
      return "semicolons";
    case '\t':
      return "tabs";
    case ',':
      return "commas";
    default:
      return "blanks";
  }
}

/// Cells at the end of a row that hold nothing are a spreadsheet's, not the builder's.
void drop_empty_end(CsvRow& row, std::size_t most) {
  while (row.cells.size() > most && row.cells.back().text.empty()) row.cells.pop_back();
}

bool begins_like_a_number(std::string_view text) {
  return !text.empty() && (std::isdigit(static_cast<unsigned char>(text[0])) != 0 || text[0] == '.' || text[0] == '-');
}

bool all_digits(std::string_view text) {
  return !text.empty() && std::all_of(text.begin(), text.end(), [](unsigned char c) { return std::isdigit(c) != 0; });
}

/// "1,250" or "12,000": decimals to some, thousands to others.
bool could_be_thousands(std::string_view text) {
  const std::size_t comma = text.find(',');
  const std::string_view before = text.substr(0, comma), after = text.substr(comma + 1);
  return all_digits(before) && before[0] != '0' && before.size() <= 3 && all_digits(after) && after.size() == 3;
}

}  // namespace

std::string with_newlines(std::string text) {
  for (std::size_t i = 0; i < text.size(); ++i) {
    if (text[i] == '\r' && (i + 1 == text.size() || text[i + 1] != '\n')) text[i] = '\n';
  }
  return text;
}

std::optional<CsvTable> read_csv(Reading& reading, int file) {
  const SourceText& source = reading.sources[static_cast<std::size_t>(file)];
  const std::string_view head = std::string_view(source.text).substr(0, 2);
  if (head == "\xFF\xFE" || head == "\xFE\xFF") {
    reading.problem({file, 0, 0, 0}, "not-utf8", "the file is UTF-16, not UTF-8",
                    "save it from the spreadsheet as 'CSV UTF-8'");
    return std::nullopt;
  }
  if (const auto problem = text_problem(reading.sources, file)) {
    reading.problem(*problem);
    return std::nullopt;
  }
  const TextLines lines(source.text);
  std::optional<CsvTable> table;
  for (int number = 1; number <= lines.count(); ++number) {
    const std::string_view line = without_comment(lines.line(number));
    if (without_blanks(line).empty()) continue;
    if (line.find('\0') != std::string_view::npos) {
      reading.problem({file, number, column_of_byte(line, line.find('\0')), 1}, "not-text",
                      "this line holds a zero byte: it is no text", "export the table as CSV, in UTF-8");
      return std::nullopt;
    }
    if (!table) {
      const char separator = separator_of(line);
      table = CsvTable{cut(line, separator, file, number), {}, separator};
      drop_empty_end(table->header, 1);
      continue;
    }
    CsvRow row = cut(line, table->separator, file, number);
    if (is_empty(row)) continue;
    const std::size_t columns = table->header.cells.size();
    drop_empty_end(row, columns);
    if (row.cells.size() > columns) {
      reading.problem(row.cells[columns].place, "too-many-cells",
                      fmt::format("this line has {} cells, but the header has {}, separated by {}", row.cells.size(),
                                  columns, name_of(table->separator)),
                      table->separator == ','
                          ? "with decimal commas, separate the cells by semicolons, in the header too: length_mm;grams"
                          : "one cell for each column of the header");
    }
    table->rows.push_back(std::move(row));
  }
  if (!table) {
    reading.problem({file, 0, 0, 0}, "no-table", "the file holds no table",
                    "begin with a header line that gives the units, such as length_mm,grams; then one reading a line");
    return std::nullopt;
  }
  return reading.problems.empty() ? table : std::nullopt;
}

std::optional<double> CsvNumbers::read(const CsvCell& cell, std::string_view what) {
  const auto refuse = [&](const char* code, std::string text, std::string hint) {
    reading.problem(cell.place, code, std::move(text), std::move(hint));
    return std::nullopt;
  };
  if (cell.text.empty())
    return refuse("empty-cell", fmt::format("{} is missing", what), "write the number, or remove the line");
  std::string text = cell.text;
  const std::string minus = "\xE2\x88\x92";  // U+2212, as spreadsheets print it
  if (text.starts_with(minus)) text.replace(0, minus.size(), "-");
  const auto points = std::count(text.begin(), text.end(), '.'), commas = std::count(text.begin(), text.end(), ',');
  if (points + commas > 1 && begins_like_a_number(text)) {
    return refuse("thousands",
                  fmt::format("{} is written {}, with more than one mark in it", what, in_quotes(cell.text)),
                  "write it without a mark for thousands: 1250.5");
  }
  if (commas == 1 && begins_like_a_number(text)) {
    if (could_be_thousands(text)) {
      if (!unclear_comma) unclear_comma = cell.place;
    } else {
      comma_is_clear = true;
    }
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
  if (error != std::errc() || !std::isfinite(value)) {
    return refuse("wrong-type", fmt::format("{} is {}, which is not a number", what, in_quotes(cell.text)),
                  "write the number alone, or '#' before the line to leave it out");
  }
  if (std::abs(value) > most_believable) {
    return refuse("not-believable", fmt::format("{} is {}, which is not a believable number", what, cell.text),
                  "compare with what you wrote down");
  }
  if (points == 1 && !with_point) with_point = cell.place;
  if (commas == 1 && !with_comma) with_comma = cell.place;
  if ((points == 1 && with_comma) || (commas == 1 && with_point)) {
    const int other = (points == 1 ? with_comma : with_point)->line;
    return refuse("mixed-decimals",
                  fmt::format("{} is written with a decimal {}, but line {} has one with a decimal {}", what,
                              points == 1 ? "point" : "comma", other, points == 1 ? "comma" : "point"),
                  "use one mark throughout, and none for thousands");
  }
  return value;
}

void CsvNumbers::finish() {
  if (!unclear_comma || comma_is_clear) return;
  reading.problem(*unclear_comma, "thousands",
                  "this may be thousands or decimals: nothing else in the file tells what its commas mean",
                  "write thousands without a mark (1250), or decimals with a point (1.25)");
}

}  // namespace ridepitch
