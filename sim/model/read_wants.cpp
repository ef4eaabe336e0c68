// What the search is to reach, [[tune.want]], and what must hold, [[tune.need]].

#include <fmt/core.h>

#include "model/read_tune.hpp"
#include "words/quantity.hpp"

namespace ridepitch {
namespace {

/// The unit of its values, as messages write it: that of its name, where what is printed is in another one.
const char* unit_of(const Quantity* quantity) {
  if (!quantity) return "";
  if (quantity->unit == "deg") return "degrees";
  if (quantity->shown != 1) return quantity->name.ends_with("_kg") ? "kg" : "N";
  return quantity->unit.data();
}

const Quantity* read_quantity(const Fields& fields, const Model& model) {
  const TomlEntry* entry = fields.need("quantity", "quantity = \"wheel_rate_n_per_mm\"");
  const auto name = fields.text(entry);
  if (!name) return nullptr;
  const Quantity* found = find_quantity(*name);
  if (!found) {
    std::vector<std::string> names;
    for (const Quantity& each : quantities()) names.emplace_back(each.name);
    fields.problem(entry->place, "unknown-name", fmt::format("{} is not a quantity", in_quotes(*name)),
                   fields.reading.suggest(*name, names, "quantities"));
  } else if (found->name == name::price && !model.has_prices) {
    fields.problem(entry->place, "no-prices",
                   fmt::format("{} asks for a price, but the model has no price list", fields.what),
                   "add: prices = \"my-prices.csv\" at the top of the file");
  }
  return found;
}

/// Refuses what is neither a corner, nor a wheel or spring of one.
void check_part_of_corner(const Fields& fields, const VehicleDraft& draft, const TomlEntry& entry,
                          std::string_view name) {
  const std::size_t slash = name.find('/');
  const auto corner = find_corner(fields.reading, draft, name.substr(0, slash), entry.place, fields.subject(entry));
  if (!corner || slash == std::string_view::npos) return;
  const Corner& of = draft.model.corners[static_cast<std::size_t>(*corner)];
  const Linkage* linkage = linkage_of(draft.model, of);
  if (!linkage) return;
  const std::string_view part = name.substr(slash + 1);
  if (index_of(linkage->wheels, part) >= 0 || index_of(linkage->springs, part) >= 0) return;
  std::vector<std::string> known = names_of(linkage->wheels);
  const auto springs = names_of(linkage->springs);
  known.insert(known.end(), springs.begin(), springs.end());
  fields.problem(entry.place, "unknown-name",
                 fmt::format("{} names {}, but corner {} has no wheel or spring {}", fields.subject(entry),
                             in_quotes(name), in_quotes(of.name), in_quotes(part)),
                 fields.reading.suggest(part, known, "wheels and springs"));
}

std::string read_of(const Fields& fields, const VehicleDraft& draft, const Quantity* quantity) {
  const TomlEntry* entry = fields.find("of");
  const auto name = fields.text(entry);
  if (!name || !quantity) return name.value_or("");
  if (quantity->of == Scope::vehicle || quantity->of == Scope::chosen) {
    fields.problem(entry->place, "foreign-key",
                   fmt::format("{} is of the whole vehicle, but 'of' names {}", quantity->name, in_quotes(*name)),
                   "remove 'of'");
  } else if (quantity->of == Scope::point) {
    if (index_of(draft.model.clearances, *name) < 0) {
      fields.problem(
          entry->place, "unknown-name",
          fmt::format("{} names {}, but there is no such clearance point", fields.subject(*entry), in_quotes(*name)),
          fields.reading.suggest(*name, names_of(draft.model.clearances), "clearance points"));
    }
  } else {
    check_part_of_corner(fields, draft, *entry, *name);
  }
  return *name;
}

/// What a want and a need have in common. @returns the unit of its numbers
template <class Asked>
const char* read_asked(const Fields& fields, const VehicleDraft& draft, Asked& asked) {
  asked.place = fields.name_place;
  const Quantity* quantity = read_quantity(fields, draft.model);
  if (quantity) asked.quantity = quantity->name;
  asked.of = read_of(fields, draft, quantity);
  return unit_of(quantity);
}

}  // namespace

void read_want(const Fields& fields, const VehicleDraft& draft, Tune& tune) {
  fields.refuse_unknown({"quantity", "of", "value", "tolerance", "weight"});
  Want want;
  const char* const unit = read_asked(fields, draft, want);
  want.value = fields.number(fields.find("value"), any_number(unit));
  want.tolerance = fields.number(fields.find("tolerance"), above_zero(unit)).value_or(1);
  want.weight = fields.number(fields.find("weight"), not_negative("")).value_or(1);
  tune.wants.push_back(std::move(want));
}

void read_need(const Fields& fields, const VehicleDraft& draft, Tune& tune) {
  fields.refuse_unknown({"quantity", "of", "least", "most"});
  Need need;
  const char* const unit = read_asked(fields, draft, need);
  need.least = fields.number(fields.find("least"), any_number(unit));
  need.most = fields.number(fields.find("most"), any_number(unit));
  if (!fields.find("least") && !fields.find("most")) {
    fields.problem(need.place, "missing-key", fmt::format("{} has neither 'least' nor 'most'", fields.what),
                   "add: least = 8.0");
  }
  if (need.least && need.most && *need.least > *need.most) {
    fields.problem(fields.find("most")->place, "range",
                   fmt::format("{} has least {} above most {}", fields.what, *need.least, *need.most), "exchange them");
  }
  tune.needs.push_back(std::move(need));
}

}  // namespace ridepitch
