#pragma once
// The paths of a corner's wheels, and the axles that its wheels make with those of the other side.

#include <vector>

#include "ride/corner_result.hpp"

namespace ridepitch {

/// Adds its path, and how its body moves at rest, to every moving wheel of a corner, and to every point of the corner's curves.
///
/// Where both wheels of an axle are in one linkage, the roll centre is that of one rising as far as the other falls; the
/// points of their curves, at which one moves alone, have none.
/// @param motion  [coordinates x moving wheels] of the linkage at rest, each wheel rising alone; empty where they can't.
///                A linkage with a single freedom then moves as it can
void add_paths(const RestedVehicle& rested, std::size_t member, const Eigen::MatrixXd& motion, CornerResult& corner,
               std::vector<Curve>& curves);

/// Each wheel of the left side with the one on the right that is nearest to its mirror image, not farther along than a
/// tyre's radius; in file order of the left ones.
std::vector<AxleResult> find_axles(const RestedVehicle& rested, const std::vector<CornerResult>& corners);

}  // namespace ridepitch
