#pragma once
// The drawings of a sheet, to scale: a linkage on its grid of holes, the vehicle at rest.

#include <optional>
#include <vector>

#include "picture/vehicle_picture.hpp"
#include "sheet/changes.hpp"
#include "sheet/sheet.hpp"

namespace ridepitch {

/// A linkage at rest at one of its corners.
struct StandingLinkage {
  const Model& model;
  const Solution& solution;
  int corner = 0;
};

/// As large as the space lets it be: 1:1, 1:2, 1:3, 1:4, 1:5, 1:10 and so on.
/// @param before  drawn dashed under it, with an arrow from each hole's old place to its new one
/// @param changes  of this linkage: each gets a callout
SheetDrawing linkage_drawing(const StandingLinkage& now, const std::optional<StandingLinkage>& before,
                             const std::vector<SheetChange>& changes, const Vec2& space_mm);

/// Whether a drawing at 1 : reduced shows that the vehicle's masses lie elsewhere than before. Both have a vehicle.
bool stands_elsewhere(const ModelAtRest& before, const ModelAtRest& now, int reduced);

/// The vehicle at rest with its ride heights, what scales read, clearances. Empty picture on the bench.
/// @param reduced  the scale is 1 : reduced
SheetDrawing vehicle_drawing(const ModelAtRest& now, VehicleView view, const std::optional<ModelAtRest>& before,
                             int reduced, double width_mm);

/// The greatest scale, as 1 : so much, at which both views are within a space, one above the other.
int vehicle_reduced(const ModelAtRest& now, const Vec2& space_mm);

}  // namespace ridepitch
