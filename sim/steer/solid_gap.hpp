#pragma once
// How far apart two solids are: a wheel (a solid cylinder) and a box along the axes of the vehicle, or two wheels.

#include "model/geometry.hpp"

namespace ridepitch {

/// A tyre: all points within `radius_mm` of the axis and `half_width_mm` of its middle. A half width of 0 is a disc.
struct Cylinder {
  Vec3 centre_mm = Vec3::Zero();
  Vec3 axis = Vec3::UnitY();  ///< unit
  double radius_mm = 0, half_width_mm = 0;
};

/// A box along the axes of the vehicle.
struct Box {
  Vec3 centre_mm = Vec3::Zero(), half_mm = Vec3::Zero();
};

/// Least distance of two solids [mm]; negative where they overlap: the least shift that would part them.
struct SolidGap {
  double mm = 0;
  Vec3 on_first_mm = Vec3::Zero(), on_second_mm = Vec3::Zero();  ///< nearest points; where they overlap: the deepest ones
};

/// Distances are exact to 1e-9 mm: Gilbert, Johnson and Keerthi's iteration (IEEE J. Robotics and Automation 4, 1988) ends
/// where the plane through the nearest point leaves no more than that. An overlap is the least over all directions of the
/// sum of support functions, searched along the creases of that function and from directions spread over the sphere; it is
/// never less than the true one, and exact to about 1e-6 mm.
SolidGap gap_between(const Cylinder& wheel, const Box& box);
SolidGap gap_between(const Cylinder& wheel, const Cylinder& other);

}  // namespace ridepitch
