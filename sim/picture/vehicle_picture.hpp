#pragma once
// The whole vehicle at rest, from the side or the front, level ground below, to scale.

#include <optional>

#include "model/model.hpp"
#include "picture/shapes.hpp"
#include "ride/solution.hpp"

namespace ridepitch {

enum class Seen {
  from_side,   ///< from the right: forward to the right
  from_front,  ///< looking back at it: its left to the right
};

/// A model and what the library says of it, kept elsewhere.
struct ModelAtRest {
  const Model& model;
  const Solution& solution;
};

/// A vehicle point turned level with the world and seen: across the picture, height above the ground [mm].
Vec2 seen_point(const VehicleResult& vehicle, Seen seen, const Vec3& p_mm);

/// Whether a corner carries the vehicle and stands on the half of it that is seen.
bool nearer_half(const Model& model, int corner, Seen seen);

/// Masses, linkages, wheels and the floor. Empty in bench mode, where there is no vehicle.
/// @param before  its outline and centre of gravity are drawn as a ghost
Picture unlabelled_vehicle(const ModelAtRest& now, Seen seen, const std::optional<ModelAtRest>& before = {});

/// The same with names, weights, the centre of gravity and clearances.
/// @param before  its outline and centre of gravity are drawn as a ghost
Picture vehicle_picture(const ModelAtRest& now, Seen seen, const std::optional<ModelAtRest>& before = {});

}  // namespace ridepitch
