#include "steer/carry.hpp"

#include <algorithm>

#include <Eigen/Geometry>

#include "model/on_vehicle.hpp"

namespace ridepitch {

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

std::optional<CarrierTravel> carrier_travel(const Model& model, const Solution& solution, WheelRef wheel) {
  const WheelResult& result = standing_of(solution, wheel);
  const Curve* curve = curve_of(solution, wheel.corner, wheel.wheel);
  if (!result.motion || !curve) return std::nullopt;
  return CarrierTravel{.corner = &at(model.corners, wheel.corner),
                       .plane = linkage_at(model, wheel.corner).plane,
                       .rest = {result.centre_C_mm, *result.motion},
                       .rest_travel_mm = travel_at_rest_mm(*curve, result.centre_C_mm),
                       .curve = curve};
}

}  // namespace ridepitch
