#include "steer/posed_drive.hpp"

#include "ride/pose.hpp"

namespace ridepitch {

PosedDrive posed_drive(DrivePath* path, const std::vector<Pose>& drawn) {
  PosedDrive posed;
  posed.path = path;
  posed.poses = drawn;
  if (path) prepare(*path, posed.workspace);
  return posed;
}

const std::vector<Pose>& poses_at(PosedDrive& posed, double drive) {
  if (drive == posed.drive || !posed.path) return posed.poses;
  place_drive(*posed.path, drive, posed.workspace, posed.q);
  posed.poses = body_poses(posed.q);
  posed.drive = drive;
  return posed.poses;
}

}  // namespace ridepitch
