#include "cli/page.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "model/mirrored_name.hpp"
#include "model/text_file.hpp"
#include "words/listed.hpp"
#include "words/words.hpp"

namespace ridepitch {
namespace {

constexpr int least_text_width = 8;  // a broken name can still be read
constexpr int gap = 2;               // between columns

std::string spaces(int count) { return std::string(static_cast<std::size_t>(std::max(count, 0)), ' '); }

std::string padded(std::string_view text, int width, bool to_the_left) {
  const std::string space = spaces(width - width_of(text));
  return to_the_left ? std::string(text) + space : space + std::string(text);
}

void drop_trailing_spaces(std::string& line) { line.erase(line.find_last_not_of(' ') + 1); }

bool is_full_row(const Table& table, const Row& row) { return row.size() == table.columns.size(); }

/// Leaves out the columns that say nothing in any row.
void drop_empty_columns(Table& table) {
  for (std::size_t c = table.columns.size(); c-- > 1;) {
    const bool says_something = std::any_of(table.rows.begin(), table.rows.end(), [&](const Row& row) {
      return is_full_row(table, row) && !row[c].empty() && row[c] != "-";
    });
    if (says_something) continue;
    for (Row& row : table.rows) {
      if (is_full_row(table, row)) row.erase(row.begin() + static_cast<std::ptrdiff_t>(c));
    }
    table.columns.erase(table.columns.begin() + static_cast<std::ptrdiff_t>(c));
  }
}

/// Widths that hold every cell; text columns give way, the widest first, until the page holds them all.
std::vector<int> column_widths(const Table& table) {
  std::vector<int> widths;
  for (std::size_t c = 0; c < table.columns.size(); ++c) {
    int width = std::max(width_of(table.columns[c].heading), width_of(table.columns[c].unit));
    for (const Row& row : table.rows) {
      if (is_full_row(table, row)) width = std::max(width, width_of(row[c]) + (c == 0 ? gap : 0));
    }
    widths.push_back(width);
  }
  int total = gap * static_cast<int>(widths.size() - 1);
  for (const int width : widths) total += width;
  while (total > page_width) {
    std::size_t widest = 0;
    for (std::size_t c = 1; c < widths.size(); ++c) {
      if (table.columns[c].align == Align::left && widths[c] > widths[widest]) widest = c;
    }
    if (widths[widest] <= least_text_width) break;
    --widths[widest];
    --total;
  }
  return widths;
}

/// Where a line of a cell may end: after a blank, '/', ',' or '-'. @returns bytes; where nothing fits, as much as does
std::size_t end_of_line(std::string_view text, int width) {
  if (width_of(text) <= width) return text.size();
  std::size_t end = 0;
  for (std::size_t i = 0; i + 1 < text.size(); ++i) {
    if (text[i] == '\n') return i + 1;
    if (width_of(text.substr(0, i + 1)) > width + (text[i] == ' ' ? 1 : 0)) break;
    if (std::string_view(" /,-").find(text[i]) != std::string_view::npos) end = i + 1;
  }
  if (end > 0) return end;
  return byte_of_column(text, width + 1);
}

/// A cell in lines of a width at most, later ones indented as its first.
std::vector<std::string> cell_lines(std::string_view text, int width) {
  const std::size_t blanks = std::min(text.find_first_not_of(' '), text.size());
  std::vector<std::string> lines;
  std::string lead;
  while (lines.empty() || !text.empty()) {
    const std::size_t end = end_of_line(text, width - width_of(lead));
    std::string line = lead + std::string(text.substr(0, end));
    drop_trailing_spaces(line);
    lines.push_back(std::move(line));
    text.remove_prefix(end);
    lead = spaces(std::min(static_cast<int>(blanks) + gap, width / 2));
  }
  return lines;
}

}  // namespace

std::string shown(std::string_view name) {
  std::string text = printable(name, "?");
  std::replace(text.begin(), text.end(), '\t', '?');
  return text;
}

std::string joined(const std::vector<std::string>& words, std::string_view between) {
  std::string text;
  for (const std::string& word : words) text += (text.empty() ? "" : std::string(between)) + word;
  return text;
}

std::string blocks(const std::vector<std::string>& all) {
  std::vector<std::string> filled;
  for (const std::string& block : all)
    if (!block.empty()) filled.push_back(block);
  return joined(filled, "\n");
}

namespace {

std::vector<std::string> all_shown(std::vector<std::string> names) {
  for (std::string& name : names) name = shown(name);
  return names;
}

}  // namespace

std::string names_shown(const std::vector<std::string>& names) { return joined(all_shown(names), ", "); }

std::string names_listed(const std::vector<std::string>& names) { return listed(all_shown(names)); }

int width_of(std::string_view text) { return code_points(text); }

std::string clipped(std::string_view text, int width) {
  if (width_of(text) <= width) return std::string(text);
  return std::string(text.substr(0, byte_of_column(text, width))) + "~";
}

std::string wrapped(std::string_view text, int indent) {
  std::string out;
  int column = indent;
  bool line_begins = true;
  while (!text.empty()) {
    if (text.front() == '\n') {
      out += "\n" + spaces(indent);
      column = indent;
      line_begins = true;
      text.remove_prefix(1);
      continue;
    }
    const std::size_t blanks = std::min(text.find_first_not_of(' '), text.size());
    const std::size_t end = std::min(text.find_first_of(" \n", blanks), text.size());
    const std::string_view word = text.substr(blanks, end - blanks);
    const int needed = static_cast<int>(blanks) + width_of(word);
    if (!line_begins && column + needed > page_width) {
      out += "\n" + spaces(indent);
      out += word;
      column = indent + width_of(word);
    } else {
      out += text.substr(0, end);
      column += needed;
    }
    line_begins = false;
    text.remove_prefix(end);
  }
  return out;
}

std::string_view level_name(Level level) {
  return level == Level::problem ? "problem" : level == Level::warning ? "warning" : "note";
}

namespace {

/// Escape sequences of ECMA-48, "Select graphic rendition": 1 bold, 2 faint, 31 red, 33 yellow, 36 cyan.
std::string inked(const Ink& ink, const char* how, std::string_view text) {
  return ink.on ? fmt::format("\x1b[{}m{}\x1b[0m", how, text) : std::string(text);
}

}  // namespace

std::string Ink::heading(std::string_view text) const { return inked(*this, "1", text); }
std::string Ink::faint(std::string_view text) const { return inked(*this, "2", text); }
std::string Ink::error(std::string_view text) const { return inked(*this, "1;31", text); }
std::string Ink::level(Level level, std::string_view text) const {
  return inked(*this, level == Level::problem ? "1;31" : level == Level::warning ? "1;33" : "1;36", text);
}

Column word_column(std::string heading, std::string unit, std::string_view word, Align align) {
  std::string meaning(meaning_of(word.empty() ? heading : word));
  return {std::move(heading), std::move(unit), std::move(meaning), align};
}

Column text_column(std::string heading) { return {std::move(heading), "", "", Align::left}; }

void merge_sides(Table& table) {
  for (std::size_t i = 0; i < table.rows.size(); ++i) {
    const std::string other = mirrored_name(table.rows[i].at(0));
    if (other.empty()) continue;
    const auto found =
        std::find_if(table.rows.begin() + static_cast<std::ptrdiff_t>(i) + 1, table.rows.end(), [&](const Row& row) {
          return row[0] == other &&
                 std::equal(row.begin() + 1, row.end(), table.rows[i].begin() + 1, table.rows[i].end());
        });
    if (found == table.rows.end()) continue;
    std::string& name = table.rows[i][0];
    // The two differ in one word, or there is no short way to say both.
    std::size_t first = 0;
    while (first < name.size() && first < other.size() && name[first] == other[first]) ++first;
    const std::size_t end = std::min(name.find_first_of(" /", first), name.size());
    const std::size_t other_end = std::min(other.find_first_of(" /", first), other.size());
    const bool one_word = name.substr(end) == other.substr(other_end);
    name = one_word ? name.substr(0, end) + " and " + other.substr(first, other_end - first) + name.substr(end)
                    : name + ", " + other;
    table.rows.erase(found);
  }
}

std::string table_text(Table table, const TextStyle& style) {
  if (table.rows.empty()) return "";
  const Ink& ink = style.ink;
  drop_empty_columns(table);
  const std::vector<int> widths = column_widths(table);
  const auto line = [&](auto cell) {
    std::vector<std::vector<std::string>> cells;
    std::size_t height = 1;
    for (std::size_t c = 0; c < widths.size(); ++c) {
      cells.push_back(cell_lines(cell(c), widths[c]));
      height = std::max(height, cells.back().size());
    }
    std::string text;
    for (std::size_t k = 0; k < height; ++k) {
      std::string one;
      for (std::size_t c = 0; c < widths.size(); ++c) {
        const bool to_the_left = c == 0 || table.columns[c].align == Align::left;
        if (c > 0) one += spaces(gap);
        one += padded(k < cells[c].size() ? cells[c][k] : "", widths[c], to_the_left);
      }
      drop_trailing_spaces(one);
      text += (k > 0 ? "\n" : "") + one;
    }
    return text;
  };

  std::string out = ink.heading(line([&](std::size_t c) { return table.columns[c].heading; })) + "\n";
  const std::string units = line([&](std::size_t c) { return table.columns[c].unit; });
  if (!units.empty()) out += ink.faint(units) + "\n";
  for (const Row& row : table.rows) {
    if (is_full_row(table, row)) {
      out += line([&](std::size_t c) { return c == 0 ? spaces(gap) + row[c] : row[c]; }) + "\n";
    } else {
      out += spaces(gap) + wrapped(row.at(0), gap) + "\n";
    }
  }
  if (style.terse) return out;
  std::vector<Term> terms;
  for (const Column& column : table.columns) {
    if (!column.meaning.empty()) terms.push_back({column.heading, column.meaning});
  }
  return out + terms_text(terms, ink);
}

std::string sides_text(Table table, const TextStyle& style) {
  if (!style.all) merge_sides(table);
  return table_text(std::move(table), style);
}

std::string terms_text(const std::vector<Term>& terms, const Ink& ink) {
  int widest = 0;
  for (const Term& term : terms) widest = std::max(widest, width_of(term.word));
  std::string out;
  for (const Term& term : terms) {
    const std::string lead = spaces(gap) + padded(term.word, widest, true) + spaces(gap);
    out += ink.faint(lead + wrapped(term.meaning, width_of(lead))) + "\n";
  }
  return out;
}

}  // namespace ridepitch
