#pragma once
// All configurations in which the parts of a linkage go together.

#include <vector>

#include <Eigen/Core>

#include "linkage/mechanism.hpp"

namespace ridepitch {

/// Two configurations are one if no hole lies farther off than that.
inline constexpr double same_place_modules = 0.05;

/// One assembly of the parts, moved as near to the hints as it goes.
struct Candidate {
  Eigen::VectorXd q;
  double rms_mm = 0;  ///< root mean square distance of all hinted holes; 0 without hints
};

struct Search {
  std::vector<Candidate> found;  ///< different ones (a hole over 0.05 module elsewhere), the nearest to the hints first
  Eigen::VectorXd best_apart;    ///< where none was found: the configuration with the least gap
  double least_gap = 1e300;      ///< and that gap [mm]
  int starts = 0;                ///< guesses or grid places tried
};

/// Linkages of two-bar groups: every configuration over a grid of the inputs, in closed form. Others: a seeded,
/// repeatable sequence of guesses, each drawn together by damped Gauss-Newton; it can miss one.
/// Sets mechanism.rank to that of the last configuration.
Search search_configurations(Mechanism& mechanism, double module_mm);

/// Draws the parts of a mechanism together from q as near as they go. @returns greatest residual left [mm]
double draw_together(Mechanism& mechanism, Eigen::VectorXd& q);

/// Where a hole of the linkage is, in the chassis grid [mm].
Vec2 place_of(const Linkage& linkage, HoleRef ref, const Eigen::VectorXd& q);

}  // namespace ridepitch
