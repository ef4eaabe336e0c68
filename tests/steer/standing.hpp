#pragma once
// Models of this folder's tests, read and at rest.

#include <string>

#include "rigs/files.hpp"
#include "rigs/models.hpp"
#include "rigs/rest.hpp"
#include "steer/bump_steer.hpp"
#include "steer/drive_sweep.hpp"

namespace ridepitch {

/// The text of tests/steer/models/NAME.toml.
std::string model_text(const std::string& name);

/// The corner of the first top linkage.
int steering_corner(const Model& model);

/// The way of its drive. @param at  must outlive the result
DrivePath drive_way(const Standing& at);

/// Bump steer of the first top linkage, the drive at 0 only.
std::vector<BumpSteer> straight_bump_steer(const Standing& at);

}  // namespace ridepitch
