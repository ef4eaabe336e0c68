#pragma once
// The whole vehicle at rest, from the side or the front, level ground below, to scale.

#include <optional>

#include "model/model.hpp"
#include "picture/shapes.hpp"
#include "ride/solution.hpp"

namespace ridepitch {

enum class VehicleView {
  from_side,   ///< from the right: forward to the right
  from_front,  ///< looking back at it: its left to the right
};

/// Of a vehicle point or direction: across the picture, and towards the viewer.
inline double across(VehicleView view, const Vec3& p) { return view == VehicleView::from_side ? p.x() : p.y(); }
inline double nearness(VehicleView view, const Vec3& p) { return view == VehicleView::from_side ? -p.y() : p.x(); }

/// A model and what the library says of it, kept elsewhere.
struct ModelAtRest {
  const Model& model;
  const Solution& solution;
};

/// A vehicle point, the vehicle standing on level ground: across the picture, height above the ground [mm].
Vec2 seen_point(const VehicleResult& vehicle, VehicleView view, const Vec3& p_mm);

/// Whether a corner carries the vehicle and is on the half of it nearer to the viewer.
bool nearer_half(const Model& model, int corner, VehicleView view);

/// Masses, linkages, wheels and the floor. Empty in bench mode, where there is no vehicle.
/// @param before  its outline and centre of gravity are drawn as a ghost
Picture unlabelled_vehicle(const ModelAtRest& now, VehicleView view, const std::optional<ModelAtRest>& before = {});

/// The same with names, weights, the centre of gravity and clearances.
/// @param before  its outline and centre of gravity are drawn as a ghost
Picture vehicle_picture(const ModelAtRest& now, VehicleView view, const std::optional<ModelAtRest>& before = {});

}  // namespace ridepitch
