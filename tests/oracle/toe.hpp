#pragma once
// Where a steered wheel points at a place of its travel, solved once more in full coordinates: every body of both linkages
// by its place and angle, every ball joint by its place in space, rigid parts as distances between their points. GSL finds
// the root (gsl_multiroot: Newton, its Jacobian by differences), followed in small steps from where the
// vehicle is drawn. No code shared with sim/ beyond the structs of the model and the result.

#include <vector>

#include "ride/solution.hpp"

namespace ridepitch::oracle {

struct SteeredPlace {
  std::vector<double>
      heading_deg;              ///< of `ahead` in vehicle axes, for each wheel of the top linkage, positive to the left
  std::vector<Vec3> centre_mm;  ///< of each wheel, drawn at the height of the sprung wheel at rest
  std::vector<Vec3> axis;       ///< of each wheel: perpendicular to `ahead` as drawn, leaning as the wheel does at rest
};

/// @param rest    poses at rest, and of the top linkage as drawn
/// @param corner  of the top linkage
/// @param drive   mm or rad
/// @param rising  wheel of the top linkage whose sprung wheel is raised, its linkage's other wheels held
/// @throws std::runtime_error where GSL finds no root
SteeredPlace steered_place(const Model& model, const Solution& rest, int corner, double drive, int rising,
                           double rise_mm);

}  // namespace ridepitch::oracle
