#pragma once
// Linkages of one loop, and how well they close, for the tests of this folder.

#include <string>

#include "linkage/assemble.hpp"
#include "linkage/closure.hpp"
#include "model/model.hpp"

namespace ridepitch {

/// Reads the tables of a linkage called "l", put on the bench.
Model written(const std::string& tables);

/// Four bars between chassis.a = (0, 0) and chassis.b = (ground, 0), in modules: crank (o, a), coupler (a, b) and
/// rocker (o, b), each with its grid's u along its holes; a wheel on the crank. `hints` go into the rocker's table.
std::string four_bar(double crank, double coupler, double rocker, double ground, const std::string& hints = "");

/// The place of "body.hole" [mm].
Vec2 place_at(const Linkage& linkage, const Eigen::VectorXd& q, const std::string& hole);

/// Greatest residual of all ties.
double greatest_gap(const Mechanism& mechanism, const Eigen::VectorXd& q);

}  // namespace ridepitch
