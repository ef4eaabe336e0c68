#pragma once
// Moving a linkage along its own freedoms: towards something, or once around.

#include <functional>
#include <optional>
#include <vector>

#include <Eigen/Core>

#include "linkage/mechanism.hpp"

namespace ridepitch {

/// What a walk drives to zero: residual r(q) and its Jacobian [r x coordinates], sized by it.
using Target = std::function<void(const Eigen::VectorXd& q, Eigen::VectorXd& r, Eigen::MatrixXd& J)>;

/// Moves q along the ties until |r|^2 is least (damped Gauss-Newton in the free coordinates, in bounded steps).
/// @returns |r| reached
double walk_towards(const Mechanism& mechanism, const Target& target, Eigen::VectorXd& q);

/// The target of laying points of moving bodies onto one place each, in the chassis grid.
Target target_at(std::vector<BodyPoint> points, std::vector<Vec2> goals);

/// The target of coming within all stops; bodies' own stops only.
Target target_within_stops(const Mechanism& mechanism);

/// Greatest distance of a hole of a moving body between two configurations [mm].
double farthest_hole(const Linkage& linkage, const Eigen::VectorXd& a, const Eigen::VectorXd& b);

inline constexpr double stop_met = 1e-7;  ///< a stop overrun by less is met [mm or rad]

/// How far the worst stop is overrun [mm; an angle's in rad]; 0 if all fit.
double worst_overrun(const Mechanism& mechanism, const Eigen::VectorXd& q);

/// Follows the one freedom of a linkage from q, through dead points, until it is back or has gone as far as it goes.
/// @param forward  in which sense first
/// @param visit    called with each configuration; false ends the walk
/// @returns true if it came back to where it began
bool walk_round(const Mechanism& mechanism, const Eigen::VectorXd& q, bool forward,
                const std::function<bool(const Eigen::VectorXd&)>& visit);

/// Looks for a place within all stops by walking straight out from q in many seeded directions, the nearest first, and
/// from every place of such a walk towards the stops. For more than one freedom; it can miss one.
/// @param q  becomes that place, if there is one
/// @returns how many places it walked from; none if it found one
std::optional<int> search_within_stops(const Mechanism& mechanism, Eigen::VectorXd& q);

/// Whether the linkage can be moved from `from` to within `slack_mm` of `goal`, hole by hole. Exact for one
/// freedom up to the step of the walk; with more, a seeded search that can miss a path around.
bool can_reach(const Mechanism& mechanism, const Eigen::VectorXd& from, const Eigen::VectorXd& goal, double slack_mm);

}  // namespace ridepitch
