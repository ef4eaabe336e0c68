#include "steer/carrier_travel.hpp"

#include <algorithm>

#include "model/index.hpp"

namespace ridepitch {
namespace {

int carrier_of(const Model& model, WheelRef wheel) {
  return at(linkage_at(model, wheel.corner).wheels, wheel.wheel).at.body;
}

}  // namespace

std::optional<CarrierTravel> carrier_travel(const Model& model, const Solution& solution, WheelRef wheel) {
  const WheelResult& result = at(at(solution.corners, wheel.corner).wheels, wheel.wheel);
  const auto curve = std::find_if(solution.curves.begin(), solution.curves.end(), [&](const Curve& one) {
    return one.corner == wheel.corner && one.wheel == wheel.wheel && !one.points.empty();
  });
  if (!result.motion || curve == solution.curves.end()) return std::nullopt;
  const CurvePoint& first = curve->points.front();
  return CarrierTravel{.corner = &at(model.corners, wheel.corner),
                       .plane = linkage_at(model, wheel.corner).plane,
                       .rest = {result.centre_C_mm, *result.motion},
                       .rest_travel_mm = first.travel_mm + result.centre_C_mm.y() - first.centre_C_mm.y(),
                       .curve = &*curve};
}

std::vector<Carry> carries_of(const Model& model, const KnuckleSet& set, WheelRef rising, const Carry& carry) {
  std::vector<Carry> carries;
  for (const Knuckle& knuckle : set.knuckles) {
    const auto& same = knuckle.same_as;
    const bool rises = same && same->corner == rising.corner && carrier_of(model, *same) == carrier_of(model, rising);
    carries.push_back(rises ? carry : Carry{});
  }
  return carries;
}

}  // namespace ridepitch
