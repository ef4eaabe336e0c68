#pragma once
// A linkage moved by hand: one of its wheels raised, or the drive of a linkage seen from above moved. Every position is a
// point of the library's own curve or sweep, so every number shown is one that the library computed.

#include <optional>
#include <vector>

#include "ride/curve_place.hpp"
#include "state/solved.hpp"

namespace ridepitch::view {

/// The first wheel of a corner that has a curve; -1: none.
int wheel_with_curve(const Solution& solution, int corner);

/// The point of a curve nearest to a travel.
std::size_t nearest_point(const Curve& curve, double travel_mm);

/// The point of a curve at which the wheel's centre is nearest to a point of the chassis grid.
std::size_t nearest_point(const Curve& curve, const Vec2& centre_C_mm);

/// Bodies' poses, the chassis first: at rest, or where a wheel of the corner has a travel.
struct LinkagePlace {
  std::vector<Pose> poses;
  std::optional<std::size_t> point;  ///< of the curve; none: at rest
};

/// @param travel_mm  none: at rest
LinkagePlace linkage_at(const Solution& solution, int corner, int wheel, std::optional<double> travel_mm);

/// The steering of a corner; null where it has none.
const Steering* steering_of(const Solved& solved, int corner);

/// The point of the sweep nearest to a value of the drive [mm or degrees].
std::size_t nearest_drive(const Steering& steering, double drive);

/// The point of the sweep at which a point of a body is nearest to a point of the chassis grid.
std::size_t nearest_drive(const Steering& steering, int body, const Vec2& p_B, const Vec2& p_C);

/// What a hand can set at a corner, from the least to the greatest: the drive of a linkage seen from above [mm or degrees],
/// else the travel of a wheel [mm]; empty where nothing moves.
std::vector<double> hand_values(const Solved& solved, int corner, int wheel);

/// The index of the one nearest to a value.
std::size_t nearest_value(const std::vector<double>& values, double value);

/// What every drive reads [mm or degrees] while that of one corner is at a value: drives that follow one another move along
/// as far as their ranges allow, the others stay at 0.
/// @returns one for each of solved.steered->steering; empty where the corner has none
std::vector<double> drives_with(const Solved& solved, int corner, double drive);

/// Bodies' poses, the chassis first.
/// @param drive  none: as the file draws it, the drive at 0
std::vector<Pose> steered_poses(const Solved& solved, int corner, std::optional<double> drive);

}  // namespace ridepitch::view
