#pragma once
// How far rods and coils stay from being perpendicular to the paths that their ends have to move along.

#include <optional>
#include <vector>

#include "linkage/mechanism.hpp"

namespace ridepitch {

/// 90 degrees less the angle between a part and the path of an end, the least over the parts [rad]; none where no part counts.
struct Margins {
  std::optional<double> toggle_rad;  ///< rods, but those with an end on the chassis
  std::optional<double> coil_rad;    ///< the moving ends of coils
};

/// One moving end of a part.
struct EndMargin {
  bool coil = false;
  int part = 0, end = 0;
  double margin_rad = 0;
  double along = 0;  ///< part . path: its sign tells on which side of the perpendicular the part stands
};

/// At one configuration, for a motion dq (inner freedoms following).
/// @param ends  if given, becomes what every end of a part that counts has there
Margins margins_at(const Mechanism& mechanism, const Eigen::VectorXd& q, const Eigen::VectorXd& dq,
                   std::vector<EndMargin>* ends = nullptr);

/// Between two near configurations some part became perpendicular to its path: then a least margin is 0, exactly.
void take_perpendicular(const std::vector<EndMargin>& before, const std::vector<EndMargin>& after, Margins& least);

}  // namespace ridepitch
