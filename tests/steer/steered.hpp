#pragma once
// Models that are steered. Modules of 8 mm.

#include <string>

#include "rigs/models.hpp"
#include "rigs/texts.hpp"
#include "rigs/units.hpp"
#include "steer/drive_sweep.hpp"
#include "steer/steering.hpp"

namespace ridepitch {

/// Four wheels on upright slides on the bench under 5 N each, wheel centres at (+-16, +-8) modules: nothing leans, and
/// `same_as` has somebody to name.
std::string four_wheels();

/// Steers it; fails the calling test where that does not work.
Steered steered(const std::string& text, int points = 21);

/// The one problem that keeps it from being steered.
Problem refused(const std::string& text);

/// The one finding of a code; fails the calling test where there is none.
Finding finding(const Steered& steered, const std::string& code);
bool has_finding(const Steered& steered, const std::string& code);

/// The way of a linkage's drive; fails the calling test where there is none. @param model  must outlive the result
DrivePath way_of(const Model& model, const std::string& linkage);

/// q with the drive at a value.
Eigen::VectorXd placed(DrivePath& way, double drive);

/// Evenly spaced places from `least` to `greatest`, both included. @param points  2 or more
struct DriveSweep {
  std::vector<double> drive;  ///< [points] mm or rad
  Eigen::MatrixXd q;          ///< [coordinates x points]
};
DriveSweep sweep_drive(DrivePath& path, double least, double greatest, int points);

/// Index of a body's angle in q.
Eigen::Index angle_of(const Model& model, const std::string& linkage, const std::string& body);

}  // namespace ridepitch
