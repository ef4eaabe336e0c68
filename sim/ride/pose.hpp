#pragma once
// Points of bodies, and poses from coordinates.

#include <vector>

#include <Eigen/Core>

#include "ride/solution.hpp"

namespace ridepitch {

/// A point of a body's grid in the chassis grid [mm].
Vec2 in_chassis(const Pose& pose, const Vec2& p_B);

/// A point of the chassis grid on a body's own grid [mm].
Vec2 on_body(const Pose& pose, const Vec2& p_C);

/// Poses of the moving bodies at q [3 n], as Curve has them.
std::vector<Pose> moving_poses(const Eigen::Ref<const Eigen::VectorXd>& q);

/// Poses of all bodies, the chassis first, as CornerResult has them.
std::vector<Pose> body_poses(const Eigen::Ref<const Eigen::VectorXd>& q);

}  // namespace ridepitch
