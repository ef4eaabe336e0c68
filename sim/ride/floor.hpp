#pragma once
// The ground that a vehicle is to stand on: blocks under wheels, and a slope.

#include <vector>

#include "model/model.hpp"
#include "ride/solution.hpp"

namespace ridepitch {

/// Which side of the vehicle is downhill.
enum class Toward { left, right, front, rear };

/// "left"
const char* toward_name(Toward toward);

struct Floor {
  std::vector<Block> blocks = {};  ///< by name; a wheel without one stands on the floor
  double slope_rad = 0;            ///< in [0, pi/2)
  Toward toward = Toward::left;    ///< downhill
  bool explore = true;             ///< also find how much more of it the vehicle takes
};

/// What is wrong with a floor for this model: a wheel that it does not have, or no vehicle to stand on it.
std::vector<Problem> check_floor(const Model& model, const Floor& floor);

}  // namespace ridepitch
