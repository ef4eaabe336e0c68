#pragma once
// Finding where a system stays: down its energy with soft bounds, then exactly with the active bounds.

#include <vector>

#include "ride/system.hpp"

namespace ridepitch {

/// Whether a vehicle lies so far over that no wheel carries it any more.
bool tipped(const System& system, const State& state);

inline constexpr double finest_settled_step_mm = 1e-7;  // make_exact takes over from here

struct Descent {
  bool settled = false;      ///< reached a place of least energy
  double first_step_mm = 0;  ///< what the stiffness at the start promised
  int steps = 0;
};

/// Moves a state down its energy, bounds soft, to the next place of least energy. The energy never rises,
/// and no step is longer than a few millimetres, so that it stays in its potential well. One that tips is left there.
/// Source: damped Newton with Levenberg's shift (Nocedal and Wright, Numerical Optimization, 3.4).
/// @param settled_step_mm  a step under it ends the descent; Newton's next one would be about its square
/// @param work             workspace; afterwards it is not that of the state reached
/// @param farthest_mm      how far it may go, by the length of its first step; farther, it ends unsettled
Descent descend(const System& system, double load_share, State& state, Work& work,
                double settled_step_mm = finest_settled_step_mm, double (*farthest_mm)(double first_step_mm) = nullptr);

/// Makes a settled state exact: active bounds are held at their gap 0, the others are free, the
/// balance of forces is driven to where Newton gains nothing more. Forces that are not unique stay as found;
/// share_loads() settles them.
/// @returns false if no set of active bounds is consistent
bool make_exact(const System& system, double load_share, State& state, Work& work);

/// The same from the bounds in `work` as they are: those of an exact state near by.
/// @param changes  of the set of active bounds, at most
bool balance_exactly(const System& system, State& state, Work& work, int changes);

/// Contact forces that statics cannot tell: those with the least sum of squares, none negative, stops pushing only.
/// Changes forces of `work.bound` only where they are not unique. @returns whether contact forces were not unique
bool share_loads(Work& work);

inline constexpr double closed_gap = 1e-9;  ///< mm or rad: rounding of a gap that is 0

/// The same where stops and contacts that are met without carrying may take a share too.
bool share_loads_over_all_met(Work& work);

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
