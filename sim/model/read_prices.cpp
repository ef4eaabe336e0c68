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

/// A decimal comma made a point, where it is no more than that.
std::optional<double> price_of(Reading& reading, const CsvCell& cell) {
  std::string text(without_currency(cell.text));
  const std::size_t comma = text.find(',');
  if (comma != std::string::npos && text.find(',', comma + 1) == std::string::npos &&
      text.find('.') == std::string::npos) {
    if (text.size() - comma == 4) {
      reading.problem(cell.place, "price-list",
                      fmt::format("the price {} can be read in two ways: with a decimal comma, or as thousands",
                                  in_quotes(cell.text)),
                      "write it with a point, or without the comma");
      return std::nullopt;
    }
    text[comma] = '.';
  }
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
  char separator = ',';  // or what the first line has between its columns
  for (int number = 1; number <= lines.count(); ++number) {
    const std::string_view line = lines.line(number);
    if (without_blanks(line).empty()) continue;
    if (!header_read)
      separator = line.find(';') != std::string_view::npos    ? ';'
                  : line.find('\t') != std::string_view::npos ? '\t'
                                                              : ',';
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
      const auto price = price_of(reading, cells[1]);
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
