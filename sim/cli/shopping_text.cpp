#include "cli/shopping_text.hpp"

#include <fmt/format.h>

#include <utility>
#include <vector>

#include "cli/catalogue_text.hpp"
#include "words/listed.hpp"
#include "words/number.hpp"

namespace ridepitch {
namespace {

Table buying_table(const Shopping& list, bool with_prices) {
  Table table;
  table.columns = {{"What to buy", "", "", Align::left}, {"count", "", ""}};
  if (with_prices) {
    table.columns.insert(table.columns.end(), {{"each", "", ""}, {"sum", "", ""}, {"stock", "", "", Align::left}});
  }
  for (const ShoppingLine& line : list.buy) {
    Row row = {shown(line.part), std::to_string(line.count)};
    if (with_prices) {
      row.push_back(line.each ? number(*line.each, 2) : "-");
      row.push_back(line.each ? number(line.count * *line.each, 2) : "-");
      row.emplace_back(line.stock ? stock_name(*line.stock) : "not on the list");
    }
    table.rows.push_back(std::move(row));
  }
  if (with_prices && list.buy.size() > 1 && list.without_price == 0)
    table.rows.push_back({"in all", "", "", number(list.total, 2), ""});
  return table;
}

/// What the table can't add up.
std::string unpriced_words(const Shopping& list) {
  const auto priced = list.buy.size() - static_cast<std::size_t>(list.without_price);
  if (list.without_price == 0 || priced == 0) return "";
  return fmt::format("{} in all, without {} of which the list has no price.", number(list.total, 2),
                     list.without_price == 1 ? "the part" : fmt::format("the {} parts", list.without_price));
}

std::string left_over_words(const Shopping& list) {
  std::vector<std::string> left;
  for (const ShoppingLine& line : list.left_over) left.push_back(fmt::format("{} {}", line.count, shown(line.part)));
  return left.empty() ? "" : "Left over: " + listed(left) + ".";
}

}  // namespace

std::string shopping_text(const Shopping& list, bool with_prices, const TextStyle& style) {
  std::string text;
  if (!list.buy.empty()) text = table_text(buying_table(list, with_prices), {style.ink, true});
  if (with_prices)
    if (const std::string words = unpriced_words(list); !words.empty()) text += wrapped(words, 0) + "\n";
  if (const std::string words = left_over_words(list); !words.empty()) text += wrapped(words, 0) + "\n";
  return text.empty() ? "" : "\n" + text;
}

Json shopping_json(const Shopping& list) {
  const auto lines = [](const std::vector<ShoppingLine>& all) {
    return list_json(all, [](const ShoppingLine& line) -> Json {
      const std::optional<double> price = line.each ? std::optional(line.count * *line.each) : std::nullopt;
      return {{"part", line.part},
              {"count", line.count},
              {"price_each", maybe(line.each)},
              {"price", maybe(price)},
              {"stock", maybe(line.stock, stock_name)}};
    });
  };
  return {{"buy", lines(list.buy)},
          {"left_over", lines(list.left_over)},
          {"total", list.without_price == 0 ? Json(list.total) : Json(nullptr)},
          {"without_price", list.without_price}};
}

}  // namespace ridepitch
