#pragma once
// How freely a linkage can move, counted twice: by its joints and by the rank of its ties.

#include <optional>
#include <string>
#include <vector>

#include "linkage/closure.hpp"
#include "linkage/mechanism.hpp"
#include "model/problem.hpp"

namespace ridepitch {

/// Grübler-Kutzbach: 3 for each moving body, less 2 for each pin (and for each further hole on it), 1 for each rod,
/// 1 for each slide and 1 more for one that keeps its angle. M = 3 (n - 1) - 2 j1 - j2 with rods as ties, not links.
int counted_freedoms(const Mechanism& mechanism);

/// Forgets the rank: every tie that is independent counts. @returns a workspace sized so
Closure unranked(Mechanism& mechanism);

/// Sets mechanism.rank to that of the ties' Jacobian at q, radians weighed as mm.
void set_rank(Mechanism& mechanism, const Eigen::VectorXd& q);

/// The ties' Jacobian at q with radians weighed as mm, so that its rank does not hang on the unit.
Eigen::MatrixXd weighted_jacobian(const Mechanism& mechanism, const Eigen::VectorXd& q);

/// Pins, rods and slides that could be taken out, one at a time, without anything moving more.
std::vector<std::string> redundant_ties(const Mechanism& mechanism, const Eigen::VectorXd& q);

/// A wheel or a drive that its ties leave no freedom, as a problem that names what locks it.
std::optional<Problem> immovable(const Mechanism& mechanism, const Eigen::VectorXd& q);

/// A body that no tie and no spring touches.
std::optional<Problem> held_by_nothing(const Mechanism& mechanism);

/// The rods and bodies in the loop that became collinear: at a dead point the ties' rows are about to depend on one
/// another, and the forces that balance by themselves run through these links.
/// @param mechanism  with everything held that is driven there; q is at the dead point or close to it
std::vector<std::string> collinear_links(const Mechanism& mechanism, const Eigen::VectorXd& q);

/// Over 12 degrees of freedom or over 40 moving bodies: too many to work out, since the time grows with the fourth power
/// of both.
/// @param freedoms  of the linkage: as counted, or by rank
std::optional<Problem> too_large(const Mechanism& mechanism, int freedoms);

/// "pin 'x'", "rod 'y'", for messages.
std::string tie_name(const Linkage& linkage, const Tie& tie);

}  // namespace ridepitch
