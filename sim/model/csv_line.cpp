#include "model/csv_line.hpp"

#include <algorithm>

#include "model/text_file.hpp"

namespace ridepitch {
namespace {

/// Past blanks; the separator is none, unless it is a blank itself.
std::size_t past_blanks(std::string_view line, std::size_t at, char separator) {
  while (at < line.size() && (separator == ' ' || line[at] != separator)) {
    const std::size_t blank = blank_at(line, at);
    if (blank == 0) break;
    at += blank;
  }
  return at;
}

/// What stands in quotes, a doubled quote meaning itself; `at` goes from the first quote to the last one.
std::string in_the_quotes(std::string_view line, std::size_t& at) {
  std::string text;
  for (++at; at < line.size(); ++at) {
    const bool quote = line[at] == '"', doubled = quote && line.substr(at + 1, 1) == "\"";
    if (quote && !doubled) break;
    text += line[at];
    if (doubled) ++at;
  }
  return text;
}

}  // namespace

std::vector<CsvCell> csv_cells(std::string_view line, char separator, int file, int line_number) {
  std::vector<CsvCell> cells;
  std::size_t counted = 0;  // bytes before it are counted in `column`
  int column = 1;
  for (std::size_t at = 0;;) {
    const std::size_t begin = at = past_blanks(line, at, separator);
    column += code_points(line.substr(counted, begin - counted));
    counted = begin;
    CsvCell cell;
    std::size_t rest = at;
    if (line.substr(at, 1) == "\"") {
      cell.text = in_the_quotes(line, at);
      rest = std::min(at + 1, line.size());
    }
    at = std::min(line.find(separator, at), line.size());
    // What stands behind the closing quote belongs to the cell, and makes it something that no one knows.
    cell.text += without_blanks(line.substr(rest, at - std::min(rest, at)));
    const int width = code_points(without_blanks(line.substr(begin, at - begin)));
    cell.place = {file, line_number, column, std::max(width, 1)};
    cells.push_back(std::move(cell));
    if (separator == ' ') at = past_blanks(line, at, separator);
    if (at >= line.size()) return cells;
    if (separator != ' ') ++at;
  }
}

}  // namespace ridepitch
