#include "steer/carry.hpp"

#include <Eigen/Geometry>

namespace ridepitch {
namespace {

double u_sign(const Corner& corner) { return corner.flip ? -1 : 1; }

// u and v of a linkage's plane on the vehicle, flip included.
Vec3 u_axis(const Corner& corner, Plane plane) {
  return u_sign(corner) * (plane == Plane::front ? Vec3::UnitY() : Vec3::UnitX());
}
Vec3 v_axis(Plane plane) { return plane == Plane::top ? Vec3::UnitY() : Vec3::UnitZ(); }

}  // namespace

Vec3 on_vehicle(const Corner& corner, Plane plane, const Vec2& p_C) {
  return corner.at_mm + p_C.x() * u_axis(corner, plane) + p_C.y() * v_axis(plane);
}

Carry carry(const Corner& corner, Plane plane, const CarrierPlace& rest, const CarrierPlace& now) {
  const Vec3 u = u_axis(corner, plane), v = v_axis(plane);
  const Vec3 normal = u.cross(v);  // a turn from u to v is a right-handed one about it
  const Vec3 centre = on_vehicle(corner, plane, now.centre_C_mm);
  Carry out;
  out.R = Eigen::AngleAxisd(now.motion.turn_rad - rest.motion.turn_rad, normal).toRotationMatrix();
  out.s_mm = centre - out.R * on_vehicle(corner, plane, rest.centre_C_mm);
  out.w_per_mm = now.motion.turn_rad_per_mm * normal;
  out.v = now.motion.centre_per_mm.x() * u + now.motion.centre_per_mm.y() * v - out.w_per_mm.cross(centre);
  return out;
}

}  // namespace ridepitch
