#pragma once
// The two vector types that every room shares.

#include <Eigen/Core>

namespace ridepitch {

using Vec2 = Eigen::Vector2d;  ///< a point or direction in the plane of a linkage, [u, v]
using Vec3 = Eigen::Vector3d;  ///< a point or direction in vehicle axes, [x, y, z] (ISO 8855)

}  // namespace ridepitch
