#pragma once
// Keeping a linkage together: residuals and Jacobian of its ties, Newton back onto them, motion along them.

#include <algorithm>
#include <cmath>
#include <vector>

#include <Eigen/Core>

#include "linkage/mechanism.hpp"

namespace ridepitch {

/// Workspace for one mechanism. Sized once by `prepare`; nothing that works in it allocates.
/// Rows are the ties in order; columns the coordinates.
struct Closure {
  std::vector<Turn> turns;     ///< of the configuration last linearised
  Eigen::VectorXd residual;    ///< [rows] reading - target
  Eigen::MatrixXd J;           ///< [rows x coordinates]
  Eigen::VectorXd right_side;  ///< [rows]
  Eigen::VectorXd step;        ///< [coordinates]
  Partition part;              ///< of J
  int rank = -1;               ///< how many rows count; -1: as many as are independent
};

void prepare(const Mechanism& mechanism, Closure& closure);

void set_turns(const Eigen::VectorXd& q, std::vector<Turn>& turns);

/// The same, as a new list.
std::vector<Turn> turns_at(const Eigen::VectorXd& q);

/// Where one body point is, in C [mm].
Vec2 position(const BodyPoint& point, const Eigen::VectorXd& q);

/// Residuals only.
void measure_ties(const Mechanism& mechanism, const Eigen::VectorXd& q, Closure& closure);

/// Residuals, Jacobian and its partition at q.
void linearise(const Mechanism& mechanism, const Eigen::VectorXd& q, Closure& closure);

/// A new workspace, linearised at q.
Closure linearised(const Mechanism& mechanism, const Eigen::VectorXd& q);

/// Moves q onto the ties by Newton, free coordinates staying; leaves the workspace linearised where the last steps began,
/// less than 2e-5 mm or rad away.
/// @returns false where it does not converge (no such place near by) or a redundant tie is not met
bool close(const Mechanism& mechanism, Eigen::VectorXd& q, Closure& closure);
bool close(const Mechanism& mechanism, Eigen::VectorXd& q);

/// dq of one tie's target growing by 1, the others staying and free coordinates at rest.
void follow_tie(int tie, Closure& closure, Eigen::VectorXd& dq);

/// How fast a gauge changes at q along each of several motions, [motions].
Eigen::RowVectorXd slopes_along(const Gauge& gauge, const Eigen::VectorXd& q, const Eigen::MatrixXd& motions);

/// Greatest motion of a coordinate, radians counted as the linkage's longest arm [mm].
template <class Motion>
double motion_mm(const Mechanism& mechanism, const Eigen::MatrixBase<Motion>& dq) {
  double far = 0;
  for (Eigen::Index i = 0; i < dq.size(); ++i)
    far = std::max(far, (i % 3 == 2 ? mechanism.size_mm : 1) * std::abs(dq[i]));
  return far;
}

/// The same of the difference of two configurations.
inline double distance_mm(const Mechanism& mechanism, const Eigen::VectorXd& a, const Eigen::VectorXd& b) {
  return motion_mm(mechanism, a - b);
}

}  // namespace ridepitch
