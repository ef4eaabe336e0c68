#include "parts/parts_bill.hpp"

#include <fmt/format.h>

#include <cmath>

#include "model/index.hpp"
#include "stack/pins.hpp"

namespace ridepitch {
namespace {

constexpr double cents_each = 100;

/// What `a` has more of than `b`.
PartCounts more_of(const PartCounts& a, const PartCounts& b) {
  PartCounts more;
  for (const auto& [part, count] : a) {
    const auto found = b.find(part);
    const int over = count - (found == b.end() ? 0 : found->second);
    if (over > 0) more[part] = over;
  }
  return more;
}

}  // namespace

PartCounts parts_needed(const Model& model) {
  PartCounts needed;
  const auto add = [&](const std::string& part, int count) {
    if (!part.empty()) needed[part] += count;
  };
  for (const Corner& corner : model.corners) {
    const Linkage& linkage = at(model.linkages, corner.linkage);
    for (const Spring& spring : linkage.springs) add(spring.part, spring.count);
    for (const Rod& rod : linkage.rods) add(rod.part, 1);
    for (const Wheel& wheel : linkage.wheels)
      if (wheel.same_as.empty()) add(wheel.part, 1);
    for (const Body& body : linkage.bodies) {
      add(body.part, 1);
      for (const PlacedPart& placed : body.built) add(placed.part, 1);
    }
  }
  for (const BillLine& line : model.bill) add(line.part, line.count);
  return needed;
}

PartCounts parts_needed(const Model& model, const Stacks& stacks) {
  PartCounts needed = parts_needed(model);
  for (const auto& [part, count] : joint_parts(model, stacks)) needed[part] += count;
  return needed;
}

std::vector<std::string> pins_without_part(const Stacks& stacks) {
  std::vector<std::string> words;
  for (const LinkageStack& stack : stacks.linkages) {
    if (!stack.complete)
      words.push_back(
          fmt::format("{}: no slices were found for all its parts, so its pins are not counted", stack.name));
    for (const NeededPin& pin : stack.pins)
      if (pin.part.empty())
        words.push_back(fmt::format("{} {}/{}: {:g} modules, longer than any", pin.axle ? "axle of" : "pin of",
                                    stack.name, pin.joint, pin.needed));
  }
  return words;
}

PartsBill bill_of(const PartCounts& needed, const PriceList& prices) {
  PartsBill bill;
  for (const auto& [part, count] : needed) {
    if (count == 0) continue;
    PartsLine line{part, count};
    if (const auto found = prices.find(part); found != prices.end()) {
      line.each = std::llround(cents_each * found->second.price);
      line.stock = found->second.stock;
    }
    bill.pieces += count;
    bill.total += line.sum().value_or(0);
    if (!line.each) ++bill.without_price;
    bill.lines.push_back(std::move(line));
  }
  return bill;
}

PartsAgainst parts_against(const PartCounts& needed, const PartCounts& other, const PriceList& prices) {
  PartsAgainst against{bill_of(more_of(needed, other), prices), bill_of(more_of(other, needed), prices), {}, {}};
  if (against.added.without_price + against.removed.without_price > 0) return against;
  against.saved = against.removed.total - against.added.total;
  const PartsBill before = bill_of(other, prices);
  if (before.without_price == 0 && before.total > 0)
    against.saved_percent = 100.0 * static_cast<double>(*against.saved) / static_cast<double>(before.total);
  return against;
}

}  // namespace ridepitch
