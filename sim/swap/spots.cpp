#include "swap/spots.hpp"

namespace ridepitch {

std::vector<Spot> spots_of(const Model& model) {
  std::vector<Spot> spots;
  if (!model.bench) spots.push_back({});
  for (std::size_t c = 0; c < model.corners.size(); ++c) {
    const Corner& corner = model.corners[c];
    const Linkage& linkage = model.linkages[static_cast<std::size_t>(corner.linkage)];
    if (linkage.plane == Plane::top) continue;
    spots.push_back({Scope::corner, c, 0, corner.name});
    for (std::size_t w = 0; w < linkage.wheels.size(); ++w) {
      spots.push_back({Scope::wheel, c, w, corner.name + "/" + linkage.wheels[w].name});
    }
  }
  return spots;
}

std::optional<double> value_at(const Quantity& quantity, const Results& results, const Spot& spot) {
  Figure figure{std::string(quantity.name), spot.scope};
  if (spot.scope != Scope::vehicle) figure.corner = static_cast<int>(spot.corner);
  if (spot.scope == Scope::wheel) figure.wheel = static_cast<int>(spot.wheel);
  return quantity.value(results, figure);
}

}  // namespace ridepitch
