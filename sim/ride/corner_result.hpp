#pragma once
// The results of one corner at rest.

#include <vector>

#include "ride/lower.hpp"
#include "ride/solution.hpp"
#include "ride/travels.hpp"
#include "ride/vehicle.hpp"

namespace ridepitch {

/// Everything that is known once a vehicle rests: what its results are read from.
struct RestedVehicle {
  const Model& model;
  Vehicle vehicle;
  std::vector<LinkageTravel> travels;
  Rest rest;
  int curve_points = 0;
};

/// One corner's wheels, springs, rods and pins at rest. Curves of its wheels are appended to `curves`.
CornerResult corner_result(const RestedVehicle& rested, std::size_t corner, std::vector<Curve>& curves);

}  // namespace ridepitch
