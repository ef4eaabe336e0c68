#pragma once
// Joints that end the travel first: ball ends of rods, and the universal joints and sliding length of a driven wheel's shaft
// (docs/model-format.md, "Joints that end the travel first").
//
// A ball end stands in the plane of its body, and swings by the angle between the rod's true direction and that plane:
//
//     a linkage's own rod    asin(across / length), whatever the travel
//     a tie rod              from the level plane of the chassis at its inner end, and from the plane perpendicular to the
//                            kingpin, as its carrier has taken it, at the knuckle: over travel and lock
//
// A shaft runs from its inner joint, a point of the vehicle, to the wheel's centre. Its joints swing by its angles with the
// vehicle's y and with the wheel's own axis.

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "model/model.hpp"
#include "ride/solution.hpp"
#include "steer/drive_sweep.hpp"

namespace ridepitch {

enum class Joint { ball, universal, slide };

/// A place over travel and lock; what is not moved there is empty.
struct JointPlace {
  std::optional<double> travel_mm;        ///< of the wheel, above full droop
  std::optional<double> other_travel_mm;  ///< of the wheel at the other end of a rod between two knuckles
  std::optional<double> drive;            ///< mm, or degrees of a crank
};

/// The most that is asked of a joint over travel and lock, and what it can do: rad, or mm of a slide.
struct JointReach {
  std::string where;  ///< "front left/hub", "front steering/left tie"
  Joint joint = Joint::ball;
  std::string name;  ///< "its ball end on knuckle-left", "its inner joint"
  double most = 0, limit = 0;
  JointPlace at;                          ///< of a slide: where it is longest
  std::optional<JointPlace> shortest_at;  ///< of a slide
  double shortest_mm = 0;                 ///< of a slide, there
  bool crank = false;                     ///< its drive is an angle
};

/// The greatest angle of a rod's ball ends: its own, else its catalogue part's [rad]; none: not said.
std::optional<double> swing_rad(const Model& model, const Rod& rod);

/// The inner joint of a wheel's shaft on the vehicle: as written for the first corner that uses the linkage, y negated for
/// corners on the other side. @pre the wheel has a shaft
Vec3 shaft_start_mm(const Model& model, WheelRef wheel);

/// Of the rods of every linkage, the shafts of wheels that are not steered, and of top linkages without a drive.
/// @param solution  of the model at rest, with curves
std::vector<JointReach> joint_reaches(const Model& model, const Solution& solution);

/// Of the tie rods of a top linkage and of the shafts of its wheels, over its drive and the travel of each.
/// @param corner  index of the corner that has the top linkage
/// @param path    null: it has no drive
/// @param range   of the drive [mm or rad]
std::vector<JointReach> steered_joint_reaches(const Model& model, const Solution& solution, int corner, DrivePath* path,
                                              const std::array<double, 2>& range);

/// Finding `joint-binds` of those that are asked for more than they can do.
std::vector<Finding> judge_joints(const std::vector<JointReach>& reaches);

}  // namespace ridepitch
