#pragma once
// The travel of a sprung wheel as what rides on its carrier sees it.

#include <optional>
#include <vector>

#include "steer/carry.hpp"
#include "steer/knuckle.hpp"

namespace ridepitch {

/// How a wheel's carrier stands at rest and along its curve; none where it can't rise alone.
struct CarrierTravel {
  const Corner* corner = nullptr;
  Plane plane = Plane::side;
  CarrierPlace rest;
  double rest_travel_mm = 0;  ///< above full droop
  const Curve* curve = nullptr;
};
std::optional<CarrierTravel> carrier_travel(const Model& model, const Solution& solution, WheelRef wheel);

/// One carry for each knuckle while one wheel rises: those on the body that carries it go along, the others stay at rest.
std::vector<Carry> carries_of(const Model& model, const KnuckleSet& set, WheelRef rising, const Carry& carry);

}  // namespace ridepitch
