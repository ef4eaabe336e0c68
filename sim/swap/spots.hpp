#pragma once
// The places of a model at which two models, or two states of one, are compared.

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "model/model.hpp"
#include "tune/quantity.hpp"

namespace ridepitch {

/// A place in a model that quantities belong to: the vehicle, a corner or a wheel.
struct Spot {
  Scope scope = Scope::vehicle;
  std::size_t corner = 0, wheel = 0;  ///< not looked at where the scope is wider
  std::string where;                  ///< "" for the vehicle, "rear left", "rear left/hub"
};

/// The vehicle (unless the model is on the bench), then every corner that stands on the ground with its wheels.
std::vector<Spot> spots_of(const Model& model);

/// The wheel of a spot that is one.
inline const WheelResult& wheel_at(const Solution& solution, const Spot& spot) {
  return solution.corners[spot.corner].wheels[spot.wheel];
}

/// The quantity there; none where it does not exist.
std::optional<double> value_at(const Quantity& quantity, const Results& results, const Spot& spot);

}  // namespace ridepitch
