#include "swap/shopping.hpp"

#include <cstdlib>

#include "parts/parts_bill.hpp"

namespace ridepitch {

Shopping shopping(const Model& before, const Model& after) {
  Shopping out;
  PartCounts more = parts_needed(after);
  for (const auto& [part, count] : parts_needed(before)) more[part] -= count;
  for (const auto& [part, count] : more) {
    if (count == 0) continue;
    ShoppingLine line{part, std::abs(count)};
    if (const auto price = after.prices.find(part); price != after.prices.end()) {
      line.each = price->second.price;
      line.stock = price->second.stock;
    }
    if (count < 0) {
      out.left_over.push_back(line);
      continue;
    }
    if (line.each)
      out.total += line.count * *line.each;
    else
      ++out.without_price;
    out.buy.push_back(line);
  }
  return out;
}

}  // namespace ridepitch
