#include "cli/bill_text.hpp"
#include "cli/catalogue_text.hpp"
#include "cli/commands.hpp"
#include "cli/words_json.hpp"
#include "model/read.hpp"
#include "ride/solve.hpp"

namespace ridepitch {
namespace {

Outcome list_catalogue(const Options& options, const Ink& ink) {
  PartsList list;
  if (options.models.empty()) {
    list.parts = parts_of_kind(built_in_parts(), *options.list);
  } else {
    ReadModel read = read_model(options.models.front());
    if (!read.model) return {"", std::move(read.problems)};
    list.of = read.model->name;
    list.parts = parts_of_kind(read.model->catalogue, *options.list);
    list.prices = std::move(read.model->prices);
    list.has_prices = read.model->has_prices;
  }
  return {options.json ? parts_list_json(list) : parts_list_text(list, {ink, options.terse})};
}

/// What it is built from, pins and axles included.
PartCounts all_parts(Solved& solved) {
  add_further_findings(solved);
  return parts_needed(solved.model, solved.stacks);
}

}  // namespace

Outcome run_parts(const Options& options, const Ink& ink) {
  if (options.list) return list_catalogue(options, ink);
  const BillOptions& how = options.bill;
  std::vector<std::string> paths = options.models;
  if (!how.against.empty()) paths.push_back(how.against);
  SolvedModels models = solve_models(paths, SolveOptions{.other_stances = false, .readings = false});
  if (!models.problems.empty()) return {"", std::move(models.problems)};
  Solved& now = models.solved.front();
  PriceList prices = now.model.prices;
  if (!how.prices.empty()) {
    ReadPriceList read = read_price_list(how.prices);
    if (!read.problems.empty()) return {"", std::move(read.problems)};
    prices = std::move(read.prices);
  }
  const PartCounts needed = all_parts(now);
  BillShown shown{.model = now.model.name,
                  .bill = bill_of(needed, prices),
                  .without_part = pins_without_part(now.stacks),
                  .has_prices = now.model.has_prices || !how.prices.empty(),
                  .over = how.over,
                  .other = "",
                  .against = {}};
  if (!how.against.empty()) {
    Solved& other = models.solved.back();
    shown.other = other.model.name;
    shown.against = parts_against(needed, all_parts(other), prices);
  }
  if (how.csv) return {bill_csv(shown)};
  return {options.json ? bill_json(shown) : bill_text(shown, {ink, options.terse})};
}

}  // namespace ridepitch
