#include "cli/catalogue_text.hpp"
#include "cli/commands.hpp"
#include "cli/words_json.hpp"
#include "model/read.hpp"

namespace ridepitch {

Outcome run_parts(const Options& options, const Ink& ink) {
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

}  // namespace ridepitch
