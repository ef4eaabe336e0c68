#pragma once
// How wheels ought to stand in a turn: every wheel's axis through one point. Ideal (Ackermann) angles, the turn centre
// and what is off. Angles here are magnitudes where they are called inner and outer, else positive to the left.
//
// Source of the condition cot(outer) - cot(inner) = track / wheelbase: plane geometry; R. N. Jazar, Vehicle Dynamics:
// Theory and Application, steering chapter.

#include <optional>
#include <vector>

#include "model/geometry.hpp"

namespace ridepitch {

/// Angle of the outer wheel whose axis meets the inner wheel's on the line of the unsteered axle [rad].
/// @param inner_rad  magnitude, 0 to under pi
/// @param track_mm, wheelbase_mm  magnitudes; the track between kingpins
double ideal_outer_rad(double inner_rad, double track_mm, double wheelbase_mm);

/// |outer as built| - |ideal outer for the inner as built| [rad]: positive where the outer wheel turns too far.
double ackermann_error_rad(double inner_rad, double outer_rad, double track_mm, double wheelbase_mm);

/// 100 (inner - outer) / (inner - ideal outer): 100 is ideal, 0 parallel wheels, under 0 the inner wheel turns less.
/// None where the inner wheel turns less than 1 degree.
std::optional<double> ackermann_percent(double inner_rad, double outer_rad, double track_mm, double wheelbase_mm);

/// A wheel seen from above: where its centre is, vehicle axes, and where it rolls to.
struct WheelLine {
  Vec2 centre_mm = Vec2::Zero();
  double heading_rad = 0;  ///< from x, positive to the left
};

/// Where a wheel's own axis meets the line across the vehicle at x = line_x. None where it is perpendicular to that line's
/// end: the wheel points straight ahead.
std::optional<Vec2> turn_centre(const WheelLine& wheel, double line_x_mm);

/// The point with the least sum of squared distances to the axes of all wheels. None where all axes are parallel.
std::optional<Vec2> turn_centre(const std::vector<WheelLine>& wheels);

}  // namespace ridepitch
