#pragma once
// The travels that a vehicle's corners share: one for each linkage with a single moving wheel.

#include <optional>
#include <vector>

#include "model/model.hpp"
#include "ride/travel.hpp"
#include "ride/vehicle.hpp"

namespace ridepitch {

/// What is known of a linkage beside its assembly.
struct LinkageTravel {
  bool independent = false;     ///< every moving wheel can rise by itself
  std::optional<Travel> alone;  ///< of a linkage with one moving wheel
};

/// One for each linkage of the model; empty for those that no sprung corner uses.
std::vector<LinkageTravel> find_travels(const Model& model, const Vehicle& vehicle, int points);

/// Steps in which the weight should grow: few where every load curve rises, many where something may snap through.
int lowering_steps(const Vehicle& vehicle, const std::vector<LinkageTravel>& travels);

}  // namespace ridepitch
