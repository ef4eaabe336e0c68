#pragma once
// What a changed model needs more of than the model before, and what is left over from it.

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "model/model.hpp"

namespace ridepitch {

/// How many of each part a model is built from, over all corners: springs, rods, wheels, bodies, [[bill]].
std::map<std::string, int> parts_needed(const Model& model);

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

/// @param before, after  prices are those of the second
Shopping shopping(const Model& before, const Model& after);

}  // namespace ridepitch
