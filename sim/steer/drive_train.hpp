#pragma once
// Drives that follow one another: how far each may go so that all of them can, and what a turn of the hand wheel moves.
//
// `ratio`, and so `factor` and `per_turn`, are between values in the file's units: mm of a slide, degrees of a pin.

#include <array>
#include <optional>
#include <vector>

#include "steer/drive_sweep.hpp"

namespace ridepitch {

/// One linkage's drive among those that move together.
struct TrainedDrive {
  int linkage = 0;     ///< of the model
  int leader = 0;      ///< the linkage at the head of its train: itself where it follows none
  double factor = 1;   ///< its value for one of the head's
  bool turns = false;  ///< a pin's: degrees; else a slide's: mm
  Assembly assembly;
  DrivePath path;                  ///< its own, by itself
  std::array<double, 2> range{};   ///< mm or rad that all of its train allow
  std::array<DriveEnd, 2> ends;    ///< what ends it; "LINKAGE: stroke" where it is another one's end
  std::optional<double> per_turn;  ///< mm or degrees for one turn of the hand wheel, a magnitude; none: no pinion given
};

/// mm or rad of the program for one of the file's units.
double drive_unit(const TrainedDrive& drive);

struct DriveTrains {
  std::vector<TrainedDrive> drives;  ///< in order of linkages
  std::vector<Problem> problems;
};

/// The drives of all top linkages that corners use, and of those that they follow.
DriveTrains find_drive_trains(const Model& model);

}  // namespace ridepitch
