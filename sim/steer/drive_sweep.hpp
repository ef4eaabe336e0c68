#pragma once
// The path of a drive: a linkage followed from where its drive stands at 0 to either end of what it can do.
//
// A drive's value is the reading of the mechanism's tie `Tie::Of::drive`: mm along a slide, rad of a body about a pin.

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "linkage/assemble.hpp"
#include "linkage/closure.hpp"

namespace ridepitch {

inline constexpr const char* search_limit = "search limit";

/// What ends the path of a drive.
struct DriveEnd {
  /// "stroke" of the driven slide, "range" of the driven pin, "half turn" of a pin without a range, "dead point",
  /// "contact" of two parts on one layer, or the name of a stop that is met ("strap max", "idler min"). Empty where
  /// nothing ended it within ten times the linkage's size, `search_limit` where it was not followed to its end.
  std::string name;
  std::vector<std::string> with;  ///< dead point: the rods and bodies that became collinear; contact: the two parts
};

/// One place of the path, found by Newton, with what it takes to find others beside it.
struct DriveAnchor {
  double drive = 0;         ///< mm or rad
  Eigen::VectorXd q;        ///< [coordinates] in the chassis grid
  Eigen::VectorXd motion;   ///< [coordinates] dq/d(drive); NaN at a dead point
  Eigen::VectorXd bend;     ///< [coordinates] d2q/d(drive)2; NaN at a dead point
  Eigen::MatrixXd inverse;  ///< [coordinates x ties] of the ties' Jacobian; empty at a dead point
};

struct DrivePath {
  Mechanism mechanism;               ///< with the drive's tie; its linkage must outlive this
  int tie = 0;                       ///< which of its ties is the drive's
  std::vector<DriveAnchor> anchors;  ///< rising; the first and the last are the ends, one stands at 0
  std::array<DriveEnd, 2> ends;      ///< at the least drive, at the greatest

  double least() const { return anchors.front().drive; }
  double greatest() const { return anchors.back().drive; }
};

struct DrivePathOrProblem {
  std::optional<DrivePath> path;
  std::optional<Problem> problem;  ///< the drive does not hold every body: what is loose cannot be followed
};

/// Follows the drive of an assembled linkage from 0 both ways, by continuation, to the first of: an end of its stroke or
/// range, a stop, parts of one layer that meet, a dead point. Ends are exact (1e-10 mm of a stop's gap; a dead point is
/// where the drive turns back along the linkage's own motion).
///
/// Parts that touch with the drive at 0 already, and stops met there, end nothing until they have come free.
/// @param assembly   of a linkage with a drive, as `assemble` leaves it: the drive at 0
/// @param catalogue  names the parts of bodies: what they look like on a layer
DrivePathOrProblem find_drive_path(const Assembly& assembly, double module_mm, const Catalogue& catalogue = {});

/// Workspace. Good for one path at a time.
struct DriveWorkspace {
  Closure closure;
  Eigen::VectorXd step;    ///< [coordinates]
  std::size_t anchor = 0;  ///< before which the last place was found: neighbours are found at once
};
void prepare(const DrivePath& path, DriveWorkspace& workspace);

/// The linkage with its drive at a value between the ends of its path: the quintic through two anchors, their directions
/// and bends, drawn onto the ties by Newton's method with the nearer anchor's inverse (to 1e-12 mm).
/// @param path  its drive tie's target becomes `drive`
/// @returns false, q being the nearer end, where the value lies beyond the ends
bool place_drive(DrivePath& path, double drive, DriveWorkspace& workspace, Eigen::VectorXd& q);

/// dq/d(drive) where the linkage stands, by the ties' Jacobian; not finite at a dead point.
void drive_motion(const DrivePath& path, const Eigen::VectorXd& q, DriveWorkspace& workspace, Eigen::VectorXd& motion);

}  // namespace ridepitch
