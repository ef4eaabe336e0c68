#include "ride/pose.hpp"

#include <cmath>

namespace ridepitch {

Vec2 in_chassis(const Pose& pose, const Vec2& p_B) {
  const double c = std::cos(pose.theta_rad), s = std::sin(pose.theta_rad);
  return pose.p_CB + Vec2(c * p_B.x() - s * p_B.y(), s * p_B.x() + c * p_B.y());
}

Vec2 on_body(const Pose& pose, const Vec2& p_C) {
  const double c = std::cos(pose.theta_rad), s = std::sin(pose.theta_rad);
  const Vec2 d = p_C - pose.p_CB;
  return {c * d.x() + s * d.y(), -s * d.x() + c * d.y()};
}

std::vector<Pose> moving_poses(const Eigen::Ref<const Eigen::VectorXd>& q) {
  std::vector<Pose> poses;
  for (Eigen::Index i = 0; i + 2 < q.size(); i += 3) poses.push_back({Vec2(q[i], q[i + 1]), q[i + 2]});
  return poses;
}

std::vector<Pose> body_poses(const Eigen::Ref<const Eigen::VectorXd>& q) {
  std::vector<Pose> poses = moving_poses(q);
  poses.insert(poses.begin(), Pose{});
  return poses;
}

}  // namespace ridepitch
