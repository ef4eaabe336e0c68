#pragma once
// What the joints of a linkage carry, and how they turn: what their play and their friction do follows from it.
//
// Joints are: every pin, which sits tight in its first body, or in the chassis if that is among them, so that each other
// body is a joint; both ends of rods and of coils and bands, all that stand side by side together. Not slides (they rub,
// but have no play here), limits, torsion springs, nor the wheel on its axle.

#include <vector>

#include "linkage/closure.hpp"
#include "linkage/mechanism.hpp"
#include "model/model.hpp"

namespace ridepitch {

/// Forces of the ties [ties] at a place: J' lambda = g. Where ties are redundant, those with the least sum of squares.
/// @param closure  linearised there
/// @param g        [coordinates] gradient of everything but the ties
Eigen::VectorXd tie_forces(const Mechanism& mechanism, const Closure& closure, const Eigen::VectorXd& g);

/// Force on each body of each pin, in axes of the chassis grid [N], by pin and hole.
std::vector<std::vector<Vec2>> pin_forces(const Mechanism& mechanism, const Eigen::VectorXd& lambda);

/// Sums over the joints of a linkage at a place.
struct JointLoads {
  double force_n = 0;              ///< of |P_j|
  double turned_n_rad_per_mm = 0;  ///< of |P_j| |turn per travel|
  double slid_n = 0;               ///< over slides, of |force across the line| |slid per travel|
  double springs_n = 0;            ///< of count friction_n |shortening per travel|
};

/// @param motion  [coordinates] of the linkage for each mm of a wheel's travel; empty: only `force_n` is worked out
JointLoads joint_loads(const Mechanism& mechanism, const Eigen::VectorXd& q, const Eigen::VectorXd& lambda,
                       const Eigen::VectorXd& motion);

/// Friction as a force at the wheel [N], by virtual work.
///
///     f = sum mu r |P_j| |turn per travel|  +  sum over slides mu |force across| |slid per travel|
///         + sum over springs count friction_n |shortening per travel|
///
/// Source: Coulomb friction; the moment mu r P of a dry journal bearing (Meriam and Kraige, Statics, ch. 6, from memory).
double friction_n(const Friction& friction, const JointLoads& loads);

}  // namespace ridepitch
