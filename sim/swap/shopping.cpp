#include "swap/shopping.hpp"

#include <cstdlib>

#include "model/index.hpp"

namespace ridepitch {

std::map<std::string, int> parts_needed(const Model& model) {
  std::map<std::string, int> needed;
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

Shopping shopping(const Model& before, const Model& after) {
  Shopping out;
  std::map<std::string, int> more = parts_needed(after);
  for (const auto& [part, count] : parts_needed(before)) more[part] -= count;
  for (const auto& [part, count] : more) {
    if (count == 0) continue;
    ShoppingLine line{part, std::abs(count)};
    if (const auto price = after.prices.find(part); price != after.prices.end()) {
      line.each = price->second.price;
      line.stock = price->second.stock;
    }
    if (count < 0) {
      out.left_over.push_back(line);
      continue;
    }
    if (line.each)
      out.total += line.count * *line.each;
    else
      ++out.without_price;
    out.buy.push_back(line);
  }
  return out;
}

}  // namespace ridepitch
