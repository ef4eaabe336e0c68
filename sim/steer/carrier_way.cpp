#include "steer/carrier_way.hpp"

#include <algorithm>

namespace ridepitch {
namespace {

int carrier_of(const Model& model, WheelRef wheel) {
  return linkage_at(model, wheel.corner).wheels[static_cast<std::size_t>(wheel.wheel)].at.body;
}

}  // namespace

std::optional<CarrierWay> carrier_way(const Model& model, const Solution& solution, WheelRef wheel) {
  const auto c = static_cast<std::size_t>(wheel.corner);
  const WheelResult& result = solution.corners[c].wheels[static_cast<std::size_t>(wheel.wheel)];
  const auto curve = std::find_if(solution.curves.begin(), solution.curves.end(), [&](const Curve& one) {
    return one.corner == wheel.corner && one.wheel == wheel.wheel && !one.points.empty();
  });
  if (!result.motion || curve == solution.curves.end()) return std::nullopt;
  CarrierWay way;
  way.corner = &model.corners[c];
  way.plane = linkage_at(model, wheel.corner).plane;
  way.rest = {result.centre_C_mm, *result.motion};
  way.curve = &*curve;
  const CurvePoint& first = curve->points.front();
  way.rest_travel_mm = first.travel_mm + result.centre_C_mm.y() - first.centre_C_mm.y();
  return way;
}

std::vector<Carry> carries_of(const Model& model, const KnuckleSet& set, WheelRef rising, const Carry& carry) {
  std::vector<Carry> carries(set.knuckles.size());
  for (std::size_t k = 0; k < carries.size(); ++k) {
    const auto& same_as = set.knuckles[k].same_as;
    if (same_as && same_as->corner == rising.corner && carrier_of(model, *same_as) == carrier_of(model, rising))
      carries[k] = carry;
  }
  return carries;
}

}  // namespace ridepitch
