#pragma once
// What a model is built from, as text, CSV and JSON.

#include <optional>
#include <string>
#include <vector>

#include "cli/page.hpp"
#include "parts/parts_bill.hpp"

namespace ridepitch {

/// What `parts MODEL` shows.
struct BillShown {
  std::string model;
  PartsBill bill;
  std::vector<std::string> without_part;  ///< joints whose pins are not counted
  bool has_prices = false;
  std::optional<double> over;  ///< a price each above which a part is called dear
  std::string other;           ///< name of the model that it is held against
  std::optional<PartsAgainst> against;
};

/// "12.05": cents as money, exactly.
std::string money(Cents cents);

std::string bill_text(const BillShown& shown, const TextStyle& style);

/// A line for each part: part,count,price_each,price,stock. Against another model the parts that are added.
std::string bill_csv(const BillShown& shown);

/// { model, lines: [ { part, count, price_each, price, stock, dear } ], pieces, total, without_price, pins_without_part: [...],
/// against: { model, added: [...], removed: [...], saved, saved_percent } or null }
std::string bill_json(const BillShown& shown);

}  // namespace ridepitch
