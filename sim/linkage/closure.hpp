#pragma once
// Keeping a linkage together: residuals and Jacobian of its ties, Newton back onto them, motion along them.

#include <vector>

#include <Eigen/Core>

#include "linkage/mechanism.hpp"

namespace ridepitch {

/// Working room for one mechanism. Sized once by `prepare`; nothing that works in it allocates.
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

void prepare(const Mechanism& mechanism, Closure& room);

void set_turns(const Eigen::VectorXd& q, std::vector<Turn>& turns);

/// Residuals only.
void measure_ties(const Mechanism& mechanism, const Eigen::VectorXd& q, Closure& room);

/// Residuals, Jacobian and its partition at q.
void linearise(const Mechanism& mechanism, const Eigen::VectorXd& q, Closure& room);

/// Moves q onto the ties by Newton, free coordinates staying; leaves the room linearised where the last steps began, less
/// than 2e-5 mm or rad away.
/// @returns false where it does not converge (no such place near by) or a redundant tie is not met
bool close(const Mechanism& mechanism, Eigen::VectorXd& q, Closure& room);

/// dq of one tie's target growing by 1, the others staying and free coordinates at rest.
void follow_tie(int tie, Closure& room, Eigen::VectorXd& dq);

}  // namespace ridepitch
