#pragma once
// What to buy and what is left over, as text and JSON.

#include <string>

#include "cli/json_pieces.hpp"
#include "cli/page.hpp"
#include "swap/shopping.hpp"

namespace ridepitch {

/// A table of what to buy, then a line of what is left over, an empty line before them; empty where there is neither.
/// A sum of all is given only where each line has a price; else it is said how many have none.
///
/// @param with_prices  the model has a price list; without one the table has parts and counts only
std::string shopping_text(const Shopping& list, bool with_prices, const TextStyle& style);

/// { buy: [ { part, count, price_each, price, stock } ], left_over: [...], total, without_price }; what is not on the list
/// is null, and so is the total where a part to buy has no price.
Json shopping_json(const Shopping& list);

}  // namespace ridepitch
