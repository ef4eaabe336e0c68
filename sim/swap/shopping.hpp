#pragma once
// What a changed model needs more of than the model before, and what is left over from it.

#include <optional>
#include <string>
#include <vector>

#include "model/model.hpp"

namespace ridepitch {

struct ShoppingLine {
  std::string part;
  int count = 0;
  std::optional<double> each = {};  ///< price; none: the list does not have it
  std::optional<Stock> stock = {};  ///< likewise
};

struct Shopping {
  std::vector<ShoppingLine> buy, left_over;  ///< by name
  double total = 0;                          ///< of what is bought and has a price
  int without_price = 0;                     ///< lines to buy
};

/// Of all parts but pins and axles, which the slices of a solved model ask for. Prices as doubles, as the search has them.
/// @param before, after  prices are those of the second
Shopping shopping(const Model& before, const Model& after);

}  // namespace ridepitch
