#pragma once
// What lies around a linkage seen from above: the rest of the vehicle's plan, in the chassis grid of that linkage.

#include <optional>
#include <vector>

#include "picture/shapes.hpp"
#include "state/solved.hpp"

namespace ridepitch::view {

struct SteeringPlan {
  std::vector<Shape>
      below;  ///< other linkages from above, turned along with the drive; wheels that are not steered; keep-outs; wheelbase
  std::vector<Shape> above;  ///< what every steered wheel is turned by, and the lines of its axles to where they meet
};

/// @param corner  has the linkage seen from above that is drawn
/// @param drive   of it, mm or degrees; none: at 0
/// @param names   write what things are
SteeringPlan steering_plan(const Solved& solved, int corner, std::optional<double> drive, bool names);

}  // namespace ridepitch::view
