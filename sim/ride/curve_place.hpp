#pragma once
// Where a wheel and the body that carries it are between two points of the wheel's curve.

#include "ride/solution.hpp"

namespace ridepitch {

/// The curve of a wheel; null where it has none (a fixed wheel, a walking beam).
const Curve* curve_of(const Solution& solution, int corner, int wheel);

/// How a body that carries a wheel stands and moves: its wheel's centre in the chassis grid and its turn.
struct CarrierPlace {
  Vec2 centre_C_mm = Vec2::Zero();
  WheelMotion motion;
};

/// The carrier at a travel: cubic between two points of the curve, by their slopes; along the chord beside a dead point,
/// where slopes do not exist. Height is exact: travel is the rise of the centre. Beyond the ends: the end.
/// Only the turn of its motion is told, no slope.
/// @param curve  with a point at least
CarrierPlace place_on_curve(const Curve& curve, double travel_mm);

/// The travel at rest, above full droop, of the wheel that a curve is of. @param rest_C_mm  its centre there
double travel_at_rest_mm(const Curve& curve, const Vec2& rest_C_mm);

}  // namespace ridepitch
