#pragma once
// A linkage with its wheels held at given heights, and what it does there: loads, rates, motion ratios.

#include <vector>

#include "linkage/closure.hpp"
#include "linkage/mechanism.hpp"

namespace ridepitch {

/// A mechanism whose wheels stand where they are told. Its ties are those of the free one, then one for each held wheel.
struct HeldMechanism {
  Mechanism mechanism;
  std::vector<int> wheels;  ///< which wheels are held, in file order
  int first_tie = 0;        ///< tie of the first of them
};

/// The wheels of a linkage that can rise: all but those on the chassis.
std::vector<int> moving_wheels(const Mechanism& mechanism);

/// The motions that the ties of a mechanism leave at q.
struct Freedoms {
  Closure closure;    ///< linearised there
  Eigen::MatrixXd T;  ///< [coordinates x freedoms] a motion a column
};
Freedoms freedoms_at(const Mechanism& mechanism, const Eigen::VectorXd& q);

/// Slope of a gauge along each of them.
Eigen::RowVectorXd slopes_along(const Gauge& gauge, const Eigen::VectorXd& q, const Freedoms& free);

/// Whether every moving wheel can rise by itself, at q: false for a walking beam ("fewer freedoms than wheels").
bool wheels_independent(const Mechanism& mechanism, const Eigen::VectorXd& q);

/// A spring that draws two wheels of a linkage to one height, rate/2 (difference)^2: keeps beams from turning over.
SpringElement level_spring(const Mechanism& mechanism, int one, int other, double rate_n_per_mm);

/// Holds all moving wheels where they are at q.
/// @pre wheels_independent(mechanism, q)
HeldMechanism hold_wheels(const Mechanism& mechanism, const Eigen::VectorXd& q);

/// What the linkage's own springs do with its wheels held. w wheels, n coordinates.
struct HeldRates {
  Eigen::VectorXd load_n;         ///< [w] dE/dz: force that holds each wheel down; stops left out
  Eigen::MatrixXd rate_n_per_mm;  ///< [w x w] d2E/dz dz, inner freedoms following
  Eigen::MatrixXd motion;         ///< [n x w] dq/dz
  bool finite = true;             ///< false at a dead point
};

/// Workspace of held_rates and curves; sized by `prepare`.
struct HeldWorkspace {
  Closure closure;
  Eigen::VectorXd g, lambda, dq;
  Eigen::MatrixXd W, T, Wq, inner_H, inner_right;
};
void prepare(const HeldMechanism& held, HeldWorkspace& workspace);

/// Loads and rates at q, which satisfies the ties and whose inner freedoms sit at least energy.
/// @param active  stops that hold an inner freedom; usually none. Indices into Mechanism::stops
///
///     lambda_z = dE/dz          of   dE/dq = J' lambda
///     rate     = Q' W Q,        W = d2E/dq2 - sum lambda d2c/dq2,   Q = dq/dz with inner freedoms following
///
/// which is k MR^2 + F dMR/dz of every spring: docs/theory.md, "Wheel rate".
void held_rates(const HeldMechanism& held, const Eigen::VectorXd& q, const std::vector<int>& active,
                HeldWorkspace& workspace, HeldRates& rates);

/// A wheel that rises by less than a thousandth of what its linkage moves is at a dead point or beside it: what is told for
/// each mm of rise would be as large as rounding makes it.
inline constexpr double least_rise_share = 1e-3;

/// Whether none of the linkage's motions at q raises a wheel by more than that.
bool at_dead_point(const Mechanism& mechanism, const Eigen::VectorXd& q, int wheel);

/// Whether rates can be told: no wheel rises by less than that while the linkage follows it.
bool rates_told(const Mechanism& mechanism, const HeldRates& rates);

/// -d(reading)/dz of a spring for a motion dq: its motion ratio.
double motion_ratio(const SpringElement& spring, const Eigen::VectorXd& q, const std::vector<Turn>& turns,
                    const Eigen::VectorXd& dq);

}  // namespace ridepitch
