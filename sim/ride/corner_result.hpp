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

/// The travel of one of several wheels, as followed from rest.
struct TravelFromRest {
  std::size_t member = 0;
  int wheel = 0;
  Travel travel;
};

/// One corner's wheels, springs, rods and pins at rest. Curves of its wheels are appended to `curves`.
/// @param followed  travels of the corners before, with those of this one appended: the other side of a vehicle that
///                  stands level shares them
/// @param dead      wheels at or beside a dead point of their travel are appended: rates, ratios and slopes do not exist there
CornerResult corner_result(const RestedVehicle& rested, std::size_t corner, std::vector<TravelFromRest>& followed,
                           std::vector<Curve>& curves, std::vector<WheelRef>& dead);

}  // namespace ridepitch
