#pragma once
// How far rods and coils stay from standing square to the way they have to move.

#include <optional>

#include "linkage/mechanism.hpp"

namespace ridepitch {

/// 90 degrees less the angle between a part and the path of an end, the least over the parts [rad]; none where no part counts.
struct Margins {
  std::optional<double> toggle_rad;  ///< rods, but those with an end on the chassis
  std::optional<double> coil_rad;    ///< the moving ends of coils
};

/// At one configuration, for a motion dq (inner freedoms following).
Margins margins_at(const Mechanism& mechanism, const Eigen::VectorXd& q, const Eigen::VectorXd& dq);

}  // namespace ridepitch
