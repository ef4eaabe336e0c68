#pragma once
// What a model is built from: how many of each part, what they cost, what there is no more of. Money is in cents of the price
// list, whole numbers, so that sums are exact.

#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "model/model.hpp"
#include "stack/stacks.hpp"

namespace ridepitch {

/// Of each part, by name.
using PartCounts = std::map<std::string, int>;

/// Over all corners, mirrored ones too: springs, rods, tyres, parts of bodies; and [[bill]].
PartCounts parts_needed(const Model& model);

/// Those, and the pins and axles that hold them together, as long as the slices ask for.
PartCounts parts_needed(const Model& model, const Stacks& stacks);

/// Joints whose pin or axle is not among these parts, as words: "axle of arm/hub: 9.5 modules, longer than any".
std::vector<std::string> pins_without_part(const Stacks& stacks);

using PriceList = std::map<std::string, Price, std::less<>>;
using Cents = std::int64_t;

struct PartsLine {
  std::string part;
  int count = 0;
  std::optional<Cents> each = {};   ///< rounded to a cent; none: the list does not have it
  std::optional<Stock> stock = {};  ///< likewise

  std::optional<Cents> sum() const { return each ? std::optional(count * *each) : std::nullopt; }
};

struct PartsBill {
  std::vector<PartsLine> lines;  ///< by name
  int pieces = 0;                ///< of all lines
  Cents total = 0;               ///< of the lines that have a price
  int without_price = 0;         ///< lines
};

/// Parts of which none is needed are left out.
PartsBill bill_of(const PartCounts& needed, const PriceList& prices);

/// What one model needs that another did not, and the other way round.
struct PartsAgainst {
  PartsBill added, removed;
  std::optional<Cents> saved;  ///< of the other's sum; below 0: it costs more. None: a part that differs has no price
  std::optional<double> saved_percent;  ///< of the other's sum; none also where that is 0 or not all of it has a price
};

PartsAgainst parts_against(const PartCounts& needed, const PartCounts& other, const PriceList& prices);

}  // namespace ridepitch
