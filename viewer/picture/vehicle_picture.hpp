#pragma once
// The whole vehicle at rest, from the side or the front, level ground below, to scale.

#include "picture/shapes.hpp"
#include "state/solved.hpp"

namespace ridepitch::view {

enum class Seen {
  from_side,   ///< from the right: forward to the right
  from_front,  ///< looking back at it: its left to the right
};

struct VehicleLook {
  Seen seen = Seen::from_side;
  int corner = -1;                 ///< whose name is shown; -1: none
  const Solved* before = nullptr;  ///< its outline and centre of gravity as a ghost; may be null
};

/// A vehicle point turned level with the world and seen: across the picture, height above the ground [mm].
Vec2 seen_point(const VehicleResult& vehicle, Seen seen, const Vec3& p_mm);

/// Empty in bench mode, where there is no vehicle.
Picture vehicle_picture(const Solved& solved, const VehicleLook& look);

}  // namespace ridepitch::view
