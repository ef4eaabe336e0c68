#pragma once
// A top linkage's bodies at any value of its drive, kept for who asks again for the same value.

#include <vector>

#include "ride/solution.hpp"
#include "steer/drive_sweep.hpp"

namespace ridepitch {

struct PosedDrive {
  DrivePath* path = nullptr;  ///< null: it has no drive, and stands as drawn
  DriveWorkspace workspace = {};
  Eigen::VectorXd q = {};
  double drive = 0;              ///< that `poses` belong to
  std::vector<Pose> poses = {};  ///< the chassis first
};

/// @param drawn  poses with the drive at 0
PosedDrive posed_drive(DrivePath* path, const std::vector<Pose>& drawn);

/// Poses at a value of the drive [mm or rad].
const std::vector<Pose>& poses_at(PosedDrive& posed, double drive);

}  // namespace ridepitch
