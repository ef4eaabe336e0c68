#pragma once
// The active bounds of a system at a state, and the motions that they leave. Unknowns are counted in mm of motion here, so
// that they compare: y = scale * unknown.

#include <vector>

#include "ride/system.hpp"

namespace ridepitch {

/// k bounds over n unknowns.
struct ActiveSet {
  std::vector<std::size_t> bounds;  ///< [k] indices into Work::bounds
  Eigen::MatrixXd rows;             ///< [k x n] gradients of their gaps, per mm
};
ActiveSet active_set(const Work& work);

/// Gradient of one bound's gap [n], per mm.
Eigen::VectorXd row_per_mm(const Work& work, std::size_t bound);

/// Second derivative of the energy [n x n], per mm^2.
Eigen::MatrixXd hessian_per_mm(const Work& work);

/// Motions that leave every active bound met, from the softest on.
struct FreeMotions {
  Eigen::VectorXd curvature;  ///< [f] of the energy, per mm^2; rising
  Eigen::MatrixXd motion;     ///< [n x f] in the unknowns themselves, orthonormal in mm
};
FreeMotions free_motions(const Work& work);

}  // namespace ridepitch
