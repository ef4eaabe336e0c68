#include "model/read_prices.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <optional>
#include <string_view>
#include <vector>

#include <fmt/core.h>

#include "model/csv_line.hpp"
#include "model/fields.hpp"
#include "model/text_file.hpp"

namespace ridepitch {
namespace {

bool check_header(Reading& reading, const std::vector<CsvCell>& cells, Place line) {
  constexpr std::array<std::string_view, 3> columns = {"part", "price", "stock"};
  const bool same =
      cells.size() == 3 && std::equal(cells.begin(), cells.end(), columns.begin(),
                                      [](const CsvCell& cell, std::string_view column) { return cell.text == column; });
  if (!same) {
    reading.problem(line, "price-list", "a price list begins with the line: part,price,stock",
                    "columns are separated by commas, semicolons or tabs, in this order");
  }
  return same;
}

/// What the first line has between its columns.
char separator_of(std::string_view header) {
  for (const char mark : {';', '\t'})
    if (header.find(mark) != std::string_view::npos) return mark;
  return ',';
}

/// A price without the sign of its currency, before or after it.
std::string_view without_currency(std::string_view text) {
  constexpr std::array<std::string_view, 5> signs = {"$", "€", "£", "¥", "EUR"};
  for (const std::string_view sign : signs) {
    if (text.starts_with(sign)) text.remove_prefix(sign.size());
    if (text.ends_with(sign)) text.remove_suffix(sign.size());
    text = without_blanks(text);
  }
  return text;
}

bool all_digits(std::string_view text) {
  return !text.empty() && std::all_of(text.begin(), text.end(), [](char c) { return c >= '0' && c <= '9'; });
}

/// "1,234,567": thousands parted by a mark, the first of them not empty and without a leading zero.
bool in_thousands(std::string_view whole, char mark) {
  std::size_t group = whole.find(mark);
  if (group == std::string_view::npos) return all_digits(whole);
  if (group > 3 || !all_digits(whole.substr(0, group)) || whole.front() == '0') return false;
  for (whole.remove_prefix(group); !whole.empty(); whole.remove_prefix(4))
    if (whole.size() < 4 || whole.front() != mark || !all_digits(whole.substr(1, 3))) return false;
  return true;
}

/// A price as from_chars() reads it: a point for the decimal mark, nothing between thousands.
struct PlainPrice {
  std::string text;
  bool ambiguous = false;  ///< "1,234": about one, or more than a thousand
};

/// Two marks: the last is the decimal one. One mark several times parts thousands. One mark once is the decimal one, unless
/// it may as well part thousands; a point may only beside semicolons, where others write decimal commas. What is neither is
/// left as it is, to be refused.
PlainPrice plain_price(std::string_view written, char separator) {
  std::string text(written);
  const std::size_t last = text.find_last_of(".,");
  if (last == std::string::npos) return {text};
  const char decimal = text[last], other = decimal == ',' ? '.' : ',';
  const bool once = text.find(decimal) == last, both = text.find(other) != std::string::npos;
  if (once && both) {
    std::string whole = text.substr(0, last);
    if (!in_thousands(whole, other) || !all_digits(text.substr(last + 1))) return {text};
    std::erase(whole, other);
    return {whole + "." + text.substr(last + 1)};
  }
  const bool thousands = in_thousands(text, decimal);
  if (once) {
    if (thousands && (decimal == ',' || separator == ';')) return {text, true};
    text[last] = '.';
  } else if (thousands) {
    std::erase(text, decimal);
  }
  return {text};
}

/// @param separator  of the list's columns
std::optional<double> price_of(Reading& reading, const CsvCell& cell, char separator) {
  const PlainPrice plain = plain_price(without_currency(cell.text), separator);
  if (plain.ambiguous) {
    std::string whole = plain.text, decimal = plain.text;
    std::erase_if(whole, [](char c) { return c == ',' || c == '.'; });
    std::replace(decimal.begin(), decimal.end(), ',', '.');
    reading.problem(
        cell.place, "price-list",
        fmt::format("the price {} can be read in two ways: with a decimal mark, or as thousands", in_quotes(cell.text)),
        fmt::format("write {}, or {}0", whole, decimal));
    return std::nullopt;
  }
  const std::string& text = plain.text;
  double price = 0;
  const char* const end = text.data() + text.size();
  const auto [stop, error] = std::from_chars(text.data(), end, price);
  if (error != std::errc() || stop != end || !std::isfinite(price)) {
    reading.problem(cell.place, "wrong-type", fmt::format("the price {} is not a number", in_quotes(cell.text)),
                    "write a number with a point: 1.25");
  } else if (price < 0) {
    reading.problem(cell.place, "negative", fmt::format("the price is {}, but must be 0 or more", price));
  } else if (price > most_believable) {
    reading.problem(cell.place, "not-believable",
                    fmt::format("the price is {}, which is not a believable number", price));
  } else {
    return price;
  }
  return std::nullopt;
}

std::optional<Stock> stock_of(Reading& reading, const CsvCell& cell) {
  if (cell.text == "plenty") return Stock::plenty;
  if (cell.text == "scarce") return Stock::scarce;
  if (cell.text == "gone") return Stock::gone;
  reading.problem(cell.place, "unknown-name", fmt::format("{} is not a word for stock", in_quotes(cell.text)),
                  reading.suggest(cell.text, {"plenty", "scarce", "gone"}, "words"));
  return std::nullopt;
}

}  // namespace

std::map<std::string, Price, std::less<>> read_prices(Reading& reading, int file) {
  const TextLines lines(reading.sources[static_cast<std::size_t>(file)].text);
  std::map<std::string, Price, std::less<>> prices;
  bool header_read = false;
  char separator = ',';
  for (int number = 1; number <= lines.count(); ++number) {
    const std::string_view line = lines.line(number);
    if (without_blanks(line).empty()) continue;
    if (!header_read) separator = separator_of(line);
    const std::vector<CsvCell> cells = csv_cells(line, separator, file, number);
    const Place start = cells.front().place;
    if (!header_read) {
      header_read = true;
      if (!check_header(reading, cells, start)) return prices;
    } else if (cells.size() != 3) {
      reading.problem(
          start, "price-list", fmt::format("this line has {} columns, but needs 3: part,price,stock", cells.size()),
          "between commas a price takes a point, or stands in double quotes, and so does a name with a comma");
    } else {
      const bool named = check_name(reading, cells[0].place, cells[0].text, "a part");
      const auto price = price_of(reading, cells[1], separator);
      const auto stock = stock_of(reading, cells[2]);
      if (named && !prices.try_emplace(cells[0].text, Price{price.value_or(0), stock.value_or(Stock::plenty)}).second) {
        reading.problem(cells[0].place, "duplicate-name",
                        fmt::format("part {} has two prices", in_quotes(cells[0].text)), "remove one of the two lines");
      }
    }
  }
  if (!header_read) check_header(reading, {}, {file, 1, 1, 1});
  return prices;
}

}  // namespace ridepitch
