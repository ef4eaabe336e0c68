#pragma once
// Models of this folder's tests, read and at rest.

#include <string>

#include "model/read.hpp"
#include "ride/solve.hpp"
#include "steer/bump_steer.hpp"
#include "steer/drive_sweep.hpp"

namespace ridepitch {

/// A model and how it stands; fails the calling test where it is refused.
struct Standing {
  Model model;
  Solution solution;
};
Standing standing(const std::string& text);

/// A file of tests/steer/models.
std::string model_text(const std::string& name);

/// The corner of the first top linkage.
int steering_corner(const Model& model);

/// The way of its drive. @param at  must outlive the result
DriveWay drive_way(const Standing& at);

/// Bump steer of the first top linkage, the drive at 0 only.
std::vector<BumpSteer> straight_bump_steer(const Standing& at);

}  // namespace ridepitch
