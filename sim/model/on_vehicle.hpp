#pragma once
// Where the plane of a corner's linkage lies on the vehicle: flip is told here and nowhere else.

#include "model/model.hpp"

namespace ridepitch {

/// What the plane's first axis counts for on the vehicle: -1 where the corner mirrors it.
inline double u_sign(const Corner& corner) { return corner.flip ? -1 : 1; }

/// The plane's axes u and v, vehicle axes.
inline Vec3 u_axis(Plane plane, double u_sign) {
  return u_sign * (plane == Plane::front ? Vec3::UnitY() : Vec3::UnitX());
}
inline Vec3 u_axis(const Corner& corner, Plane plane) { return u_axis(plane, u_sign(corner)); }
inline Vec3 v_axis(Plane plane) { return plane == Plane::top ? Vec3::UnitY() : Vec3::UnitZ(); }

/// Where a point of a corner's plane is on the vehicle [mm].
/// @param p_C  in the chassis grid of its linkage
inline Vec3 on_vehicle(const Corner& corner, Plane plane, const Vec2& p_C) {
  return corner.at_mm + p_C.x() * u_axis(corner, plane) + p_C.y() * v_axis(plane);
}

/// Which way `out` of its wheels points along y: towards the corner's own side.
inline double outward(const Corner& corner) { return corner.at_mm.y() < 0 ? -1 : 1; }

/// Where a wheel's centre is on the vehicle [mm]: beside the plane of its linkage by its `out`.
/// @param centre_C  in the chassis grid of its linkage
inline Vec3 wheel_on_vehicle(const Corner& corner, Plane plane, const Wheel& wheel, const Vec2& centre_C) {
  return on_vehicle(corner, plane, centre_C) + outward(corner) * wheel.out_mm * Vec3::UnitY();
}

}  // namespace ridepitch
