#include "sheet/lay_out.hpp"

#include <algorithm>
#include <utility>

#include "sheet/ink.hpp"

namespace ridepitch {
namespace {

constexpr double cell_air_mm = 2.4;  // left and right of a cell together
constexpr double row_air_mm = 1.2, head_air_mm = 1.4;
constexpr double list_indent_mm = 4;
constexpr double least_blank_mm = 17, least_shared_mm = 22, least_words_mm = 8;
constexpr double rounding_mm = 1e-6;  // a column as wide as its cells is not broken by rounding

/// The longest beginning of a word that fits, at least one letter.
std::size_t fitting(std::string_view word, double width_mm, Face face) {
  std::size_t end = 0;
  while (end < word.size()) {
    std::size_t next = end + 1;
    while (next < word.size() && (static_cast<unsigned char>(word[next]) & 0xC0) == 0x80) ++next;
    if (end > 0 && text_width_mm(word.substr(0, next), face) > width_mm) break;
    end = next;
  }
  return end;
}

double width_of(const SheetTable& table, std::size_t i) {
  const SheetColumn& column = table.columns[i];
  double width = std::max(text_width_mm(column.heading, Face::strong), text_width_mm(column.unit, Face::small));
  for (const SheetRow& row : table.rows)
    if (i < row.cells.size()) width = std::max(width, text_width_mm(row.cells[i].text, Face::text));
  return std::max(width + cell_air_mm, column.blank ? least_blank_mm : 0);
}

void set_widths(SheetTable& table) {
  double left = text_width_on_page_mm, shares = 0;
  for (std::size_t i = 0; i < table.columns.size(); ++i) {
    SheetColumn& column = table.columns[i];
    shares += column.wanted_share;
    if (column.wanted_share <= 0) left -= column.width_mm = width_of(table, i);
  }
  double all = 0, of_words = 0;
  for (SheetColumn& column : table.columns) {
    if (column.wanted_share > 0) column.width_mm = std::max(least_shared_mm, left * column.wanted_share / shares);
    all += column.width_mm;
    if (!column.numbers) of_words += column.width_mm;
  }
  // Names may be of any length: columns of words shrink until the table fits the page.
  const double over = all - text_width_on_page_mm;
  if (over <= 0 || of_words <= 0) return;
  for (SheetColumn& column : table.columns)
    if (!column.numbers) column.width_mm = std::max(least_words_mm, column.width_mm * (1 - over / of_words));
}

void set_lines(SheetTable& table) {
  const bool units =
      std::any_of(table.columns.begin(), table.columns.end(), [](const SheetColumn& c) { return !c.unit.empty(); });
  table.head_mm = head_air_mm + line_height_mm(Face::strong) + (units ? line_height_mm(Face::small) : 0);
  for (SheetRow& row : table.rows) {
    std::size_t most = 1;
    for (std::size_t i = 0; i < row.cells.size(); ++i) {
      SheetCell& cell = row.cells[i];
      cell.lines = broken(cell.text, table.columns[i].width_mm - cell_air_mm + rounding_mm, Face::text);
      most = std::max(most, cell.lines.size());
    }
    row.height_mm = row_air_mm + static_cast<double>(most) * line_height_mm(Face::text);
  }
}

struct PieceSize {
  double height_mm = 0;  ///< of all of it
  double least_mm = 0;   ///< of what must stand on the page that it begins on
};

PieceSize measure(SheetPiece& piece) {
  if (auto* table = std::get_if<SheetTable>(&piece.what)) {
    set_widths(*table);
    set_lines(*table);
    PieceSize size{table->head_mm, table->head_mm + (table->rows.empty() ? 0 : table->rows.front().height_mm)};
    for (const SheetRow& row : table->rows) size.height_mm += row.height_mm;
    return size;
  }
  double height = 0;
  if (auto* words = std::get_if<Words>(&piece.what)) {
    words->lines = broken(words->text, text_width_on_page_mm - (words->listed ? list_indent_mm : 0), words->face);
    height = static_cast<double>(words->lines.size()) * line_height_mm(words->face);
  } else {
    height = std::get<SheetDrawing>(piece.what).size_mm.y();
  }
  return {height, height};
}

struct Pages {
  Paper paper;
  std::vector<SheetPage> list = {SheetPage{}};
  double y = 0;  ///< filled so far, from the upper margin

  bool fresh() const { return list.back().blocks.empty(); }
  double left() const { return text_height_on_page_mm(paper) - y; }
  void next_page() {
    list.emplace_back();
    y = 0;
  }

  void put(std::variant<Words, SheetTable, SheetDrawing> what, double above_mm, double height_mm) {
    if (!fresh()) y += above_mm;
    const Vec2 low(left_margin_mm(paper), paper_margin_mm + y);
    list.back().blocks.push_back({{low, low + Vec2(text_width_on_page_mm, height_mm)}, std::move(what)});
    y += height_mm;
  }

  /// A row that begins a page repeats the cells that it left empty because a row above has them.
  static void tell_again(const SheetTable& table, std::size_t row, SheetRow& first) {
    if (first.cells.empty() || !first.cells.front().text.empty()) return;
    std::size_t from = row;
    while (from > 0 && table.rows[from].cells.front().text.empty()) --from;
    for (std::size_t i = 0; i < first.cells.size() && first.cells[i].text.empty(); ++i)
      first.cells[i] = table.rows[from].cells[i];
  }

  void put_table(const SheetTable& table, double above_mm) {
    for (std::size_t next = 0; next < table.rows.size() || next == 0;) {
      SheetTable part{table.columns, {}, table.head_mm};
      double height = table.head_mm;
      const double space = left() - (fresh() ? 0 : above_mm);
      const auto fits = [&] { return height + table.rows[next].height_mm <= space || (part.rows.empty() && fresh()); };
      for (; next < table.rows.size() && fits(); ++next) {
        height += table.rows[next].height_mm;
        part.rows.push_back(table.rows[next]);
        if (part.rows.size() == 1) tell_again(table, next, part.rows.front());
      }
      if (!part.rows.empty() || table.rows.empty()) put(std::move(part), above_mm, height);
      if (next >= table.rows.size()) return;
      next_page();
    }
  }
};

}  // namespace

std::vector<std::string> broken(std::string_view text, double width_mm, Face face) {
  std::vector<std::string> lines = {""};
  while (!text.empty()) {
    const std::size_t end = text.find(' ');
    std::string_view word = text.substr(0, end);
    text = end == text.npos ? std::string_view() : text.substr(end + 1);
    const std::string longer = lines.back().empty() ? std::string(word) : lines.back() + ' ' + std::string(word);
    if (text_width_mm(longer, face) <= width_mm) {
      lines.back() = longer;
      continue;
    }
    if (!lines.back().empty()) lines.emplace_back();
    while (text_width_mm(word, face) > width_mm) {
      const std::size_t fits = fitting(word, width_mm, face);
      lines.back() = word.substr(0, fits);
      word.remove_prefix(fits);
      if (word.empty()) break;
      lines.emplace_back();
    }
    if (!word.empty()) lines.back() = word;
  }
  return lines;
}

std::vector<SheetPage> lay_out(std::vector<SheetPiece> pieces, const Paper& paper) {
  std::vector<PieceSize> sizes;
  for (SheetPiece& piece : pieces) sizes.push_back(measure(piece));
  Pages pages{paper};
  for (std::size_t i = 0; i < pieces.size(); ++i) {
    // What must stand together with this piece.
    double together = sizes[i].least_mm;
    for (std::size_t k = i; pieces[k].stays_with_next && k + 1 < pieces.size(); ++k)
      together += sizes[k].height_mm - sizes[k].least_mm + pieces[k + 1].above_mm + sizes[k + 1].least_mm;
    if (!pages.fresh() && pieces[i].above_mm + together > pages.left()) pages.next_page();
    if (const auto* table = std::get_if<SheetTable>(&pieces[i].what)) {
      pages.put_table(*table, pieces[i].above_mm);
    } else {
      pages.put(std::move(pieces[i].what), pieces[i].above_mm, sizes[i].height_mm);
    }
  }
  return std::move(pages.list);
}

}  // namespace ridepitch
