#pragma once
// A linkage with one of its wheels raised by hand: a point of the library's own curve, so that every number shown is one
// that the library has worked out.

#include <optional>
#include <vector>

#include "model/model.hpp"
#include "ride/solution.hpp"

namespace ridepitch::view {

/// The curve of a corner's wheel; null where it has none (a fixed wheel, a walking beam).
const Curve* curve_of(const Solution& solution, int corner, int wheel);

/// The first wheel of a corner that has a curve; -1: none.
int wheel_with_curve(const Solution& solution, int corner);

/// The point of a curve that is nearest to a travel.
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

}  // namespace ridepitch::view
