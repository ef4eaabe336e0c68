#pragma once
// Where a point of the vehicle lies above and along the floor, with derivatives over the body's height, pitch and roll.

#include "model/geometry.hpp"
#include "ride/system.hpp"

namespace ridepitch {

/// A distance of a vehicle point, with its derivatives over (h, p, r) and over the point.
///
///     x, y, z    of the point on the vehicle [mm];  sp, cp, sr, cr: sines and cosines of pitch and roll
///     up, out    z and y of the point once it is rolled
struct Rise {
  double value = 0;
  Vec3 body;   ///< over h, p, r
  Vec3 point;  ///< over x, y, z
  Eigen::Matrix3d body_body;
  Eigen::Matrix3d body_point;  ///< rows h, p, r; columns x, y, z
};

/// Height above the floor: h - sp x + cp up.
Rise rise_of(const State& state, const Vec3& point_mm);

/// How far downhill of the vehicle's origin, along the floor; h does not move it: down . (cp x + sp up, out).
Rise downhill_of(const State& state, const Vec3& point_mm, const Vec2& down);

}  // namespace ridepitch
