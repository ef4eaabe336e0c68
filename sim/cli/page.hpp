#pragma once
// Plain text for a terminal or a file: names made safe to print, wrapped lines, aligned tables, ink.

#include <string>
#include <string_view>
#include <vector>

#include "ride/solution.hpp"
#include "words/number.hpp"

namespace ridepitch {

/// No line of plain output is wider, as far as names allow.
inline constexpr int page_width = 100;

/// A name as it may be printed: control characters and what is not UTF-8 become '?', so that no name moves the cursor.
std::string shown(std::string_view name);

/// Words with something between them.
std::string joined(const std::vector<std::string>& words, std::string_view between);

/// Blocks of text with an empty line between them, empty ones left out.
std::string blocks(const std::vector<std::string>& all);

/// Names with commas between them, each as it may be printed.
std::string names_shown(const std::vector<std::string>& names);

/// "a, b and c", likewise.
std::string names_listed(const std::vector<std::string>& names);

/// Columns that a text takes: its code points.
int width_of(std::string_view text);

/// A text cut to a width, its last column a mark that something is missing.
std::string clipped(std::string_view text, int width);

/// A text broken between words at page_width. Its first line is taken to start at column `indent`, where the
/// others are indented to. No newline at its end. Newlines in it are kept.
std::string wrapped(std::string_view text, int indent);

/// Colours and weights, or none. Nothing is said by them alone.
struct Ink {
  bool on = false;

  std::string heading(std::string_view text) const;
  std::string faint(std::string_view text) const;
  std::string level(Level level, std::string_view text) const;
  std::string error(std::string_view text) const;
};

/// "problem", "warning" or "note".
std::string_view level_name(Level level);

enum class Align {
  right,  ///< numbers
  left,   ///< text, broken into lines if the page is too narrow
};

struct Column {
  std::string heading;
  std::string unit = "";     ///< stands under the heading
  std::string meaning = "";  ///< of the heading, in a line; empty: none
  Align align = Align::right;
};

/// A column of numbers whose heading is a word of the glossary, or, where the heading is cut short, stands for `word`.
Column word_column(std::string heading, std::string unit, std::string_view word = {}, Align align = Align::right);

/// A column of text, broken into lines if the page is too narrow; a table's first one, whose heading is its title, mostly.
Column text_column(std::string heading = "");

/// Cells of one row; a row of one cell in a wider table is a line of its own.
using Row = std::vector<std::string>;

struct Table {
  std::vector<Column> columns;  ///< the first one's heading is the title
  std::vector<Row> rows;
};

/// How a page is set.
struct TextStyle {
  Ink ink;
  bool terse = false;  ///< leave out the lines that explain headings
  bool all = false;    ///< also what few ask for
};

/// Rows that show the same of the left and of the right side become one: "front left and right/hub".
/// @param table  the first cell of each row is a name
void merge_sides(Table& table);

/// The table, its title inked, rows indented by two, and a line for each heading that says what it means.
/// Columns without any cell but "-" are left out; a table without rows is empty.
std::string table_text(Table table, const TextStyle& style);

/// The same with both sides merged, unless all is asked for.
std::string sides_text(Table table, const TextStyle& style);

struct Term {
  std::string word, meaning;
};

/// A line for each word, its meaning beside it.
std::string terms_text(const std::vector<Term>& terms, const Ink& ink);

}  // namespace ridepitch
