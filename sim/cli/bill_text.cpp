#include "cli/bill_text.hpp"

#include <fmt/format.h>

#include <cmath>
#include <cstdlib>
#include <utility>

#include "cli/catalogue_text.hpp"
#include "cli/csv_cells.hpp"
#include "cli/json_pieces.hpp"

namespace ridepitch {
namespace {

constexpr double cents_in_money = 100;

double as_number(Cents cents) { return static_cast<double>(cents) / cents_in_money; }

bool is_dear(const PartsLine& line, const std::optional<double>& over) {
  return over && line.each && as_number(*line.each) > *over;
}

std::string plural(int count, const char* one) { return fmt::format("{} {}{}", count, one, count == 1 ? "" : "s"); }

Table bill_table(const char* title, const PartsBill& bill, const BillShown& of) {
  Table table;
  table.columns = {{title, "", "", Align::left}, {"count", "", ""}};
  if (of.has_prices)
    table.columns.insert(table.columns.end(), {{"each", "", ""}, {"sum", "", ""}, {"stock", "", "", Align::left}});
  for (const PartsLine& line : bill.lines) {
    Row row = {shown(line.part), std::to_string(line.count)};
    if (of.has_prices) {
      row.push_back(line.each ? money(*line.each) : "-");
      row.push_back(line.each ? money(*line.sum()) : "-");
      std::string stock(line.stock ? stock_name(*line.stock) : "not on the list");
      if (is_dear(line, of.over)) stock += ", dear";
      row.push_back(std::move(stock));
    }
    table.rows.push_back(std::move(row));
  }
  if (of.has_prices && bill.lines.size() > 1)
    table.rows.push_back({"in all", std::to_string(bill.pieces), "", money(bill.total), ""});
  return table;
}

/// What it costs, as far as the list goes.
std::string cost_words(const BillShown& of) {
  if (!of.has_prices) return ". A price list (--prices) says what they cost.";
  std::string words = fmt::format(", {} in all", money(of.bill.total));
  if (of.bill.without_price > 0)
    words += fmt::format(", without {} of which the list has no price", plural(of.bill.without_price, "kind"));
  return words + ".";
}

std::string scarce_words(const PartsBill& bill, Stock stock, const char* lead) {
  std::vector<std::string> names;
  for (const PartsLine& line : bill.lines)
    if (line.stock == stock) names.push_back(line.part);
  return names.empty() ? "" : wrapped(fmt::format("{}: {}.", lead, names_listed(names)), 0) + "\n";
}

std::string saved_words(const BillShown& of) {
  const PartsAgainst& against = *of.against;
  std::string lead = fmt::format("Against '{}': ", shown(of.other));
  if (against.added.lines.empty() && against.removed.lines.empty()) return lead + "the same parts.";
  if (!of.has_prices) return lead + "without prices, what is saved is not known.";
  const Cents saved = against.removed.total - against.added.total;
  std::string words = fmt::format("{}{} {}", lead, saved < 0 ? "costs more by" : "saves", money(std::abs(saved)));
  if (const int unknown = against.added.without_price + against.removed.without_price; unknown > 0)
    words += fmt::format(", without {} that differ and have no price", plural(unknown, "kind"));
  if (against.saved_percent)
    words += fmt::format(", {} % of what that costs", number(std::abs(*against.saved_percent), 1));
  return words + ".";
}

std::string against_text(const BillShown& of, const TextStyle& style) {
  return blocks({wrapped(saved_words(of), 0) + "\n", table_text(bill_table("Bought", of.against->added, of), style),
                 table_text(bill_table("Left over", of.against->removed, of), style)});
}

Json lines_json(const PartsBill& bill, const std::optional<double>& over) {
  return list_json(bill.lines, [&](const PartsLine& line) -> Json {
    return {{"part", line.part},
            {"count", line.count},
            {"price_each", maybe(line.each, as_number)},
            {"price", maybe(line.sum(), as_number)},
            {"stock", maybe(line.stock, stock_name)},
            {"dear", is_dear(line, over)}};
  });
}

}  // namespace

std::string money(Cents cents) {
  const Cents whole = std::abs(cents) / 100, rest = std::abs(cents) % 100;
  return fmt::format("{}{}.{:02}", cents < 0 ? "-" : "", whole, rest);
}

std::string bill_text(const BillShown& of, const TextStyle& style) {
  const TextStyle plain{style.ink, true};
  const std::string lead =
      wrapped(fmt::format("{} is built from {} of {}{}", shown(of.model), plural(of.bill.pieces, "part"),
                          plural(static_cast<int>(of.bill.lines.size()), "kind"), cost_words(of)),
              0) +
      "\n" + scarce_words(of.bill, Stock::gone, "Gone") + scarce_words(of.bill, Stock::scarce, "Scarce");
  std::string pins;
  for (const std::string& each : of.without_part) pins += wrapped("Not counted: " + shown(each) + ".", 0) + "\n";
  return blocks({lead, of.against ? against_text(of, plain) : "",
                 table_text(bill_table("Built from", of.bill, of), plain), pins});
}

std::string bill_csv(const BillShown& of) {
  std::string csv = "part,count,price_each,price,stock\n";
  for (const PartsLine& line : (of.against ? of.against->added : of.bill).lines)
    csv += fmt::format("{},{},{},{},{}\n", csv_text(line.part), line.count, line.each ? money(*line.each) : "",
                       line.each ? money(*line.sum()) : "", line.stock ? stock_name(*line.stock) : "");
  return csv;
}

std::string bill_json(const BillShown& of) {
  const auto against = [&](const PartsAgainst& a) -> Json {
    return {{"model", of.other},
            {"added", lines_json(a.added, of.over)},
            {"removed", lines_json(a.removed, of.over)},
            {"saved", maybe(a.saved, as_number)},
            {"saved_percent", maybe(a.saved_percent)}};
  };
  return json_document(
      {{"model", of.model},
       {"lines", lines_json(of.bill, of.over)},
       {"pieces", of.bill.pieces},
       {"total", of.bill.without_price == 0 ? Json(as_number(of.bill.total)) : Json(nullptr)},
       {"without_price", of.bill.without_price},
       {"pins_without_part", list_json(of.without_part, [](const std::string& each) { return Json(each); })},
       {"against", maybe(of.against, against)}});
}

}  // namespace ridepitch
