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
struct Cuboid {
  Vec3 centre_mm = Vec3::Zero(), half_mm = Vec3::Zero();
};

/// Least distance of two solids [mm]; negative where they overlap: the least shift that would part them.
struct SolidGap {
  double mm = 0;
  Vec3 on_first_mm = Vec3::Zero(),
       on_second_mm = Vec3::Zero();  ///< nearest points; where they overlap: the deepest ones
  Vec3 normal = Vec3::UnitX();  ///< unit, from the second to the first: of all directions the one that parts them most
};

/// Distances are exact to 1e-9 mm: Gilbert, Johnson and Keerthi's iteration (IEEE J. Robotics and Automation 4, 1988) ends
/// where the plane through the nearest point leaves no more than that. An overlap is the least over all directions of the
/// sum of support functions, searched along the creases of that function and from directions spread over the sphere; it is
/// never less than the true one, and exact to about 1e-6 mm.
/// @param how_deep  false: an overlap is given as 0, at little cost
SolidGap gap_between(const Cylinder& wheel, const Cuboid& box, bool how_deep = true);
SolidGap gap_between(const Cylinder& wheel, const Cylinder& other, bool how_deep = true);

/// Least of n . p over a solid's points, and greatest [mm]. Two solids are at least n . (least of one) - n . (greatest of the
/// other) apart, whatever the unit direction n.
double least_along(const Cylinder& wheel, const Vec3& n);
double greatest_along(const Cylinder& wheel, const Vec3& n);
double greatest_along(const Cuboid& box, const Vec3& n);

}  // namespace ridepitch
