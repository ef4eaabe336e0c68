#pragma once
// What a sprung linkage does with everything that is fixed to one of its bodies: a rigid motion in vehicle axes.
//
// Letters: x  a point where it is at rest, p  the same point now [mm];  R  the turn since rest, s  the shift:
//
//     p  = R x + s            a linkage's body stays in its plane, so R turns about that plane's normal only
//     p' = w x p + v          dashes are slopes over the wheel's travel [mm/mm]

#include <optional>

#include "model/index.hpp"
#include "model/model.hpp"
#include "ride/curve_place.hpp"
#include "ride/solution.hpp"

namespace ridepitch {

/// The linkage of a corner.
inline const Linkage& linkage_at(const Model& model, int corner) {
  return at(model.linkages, at(model.corners, corner).linkage);
}

/// A wheel as the file has it, and as it stands.
inline const Wheel& wheel_of(const Model& model, WheelRef ref) {
  return at(linkage_at(model, ref.corner).wheels, ref.wheel);
}
inline const WheelResult& standing_of(const Solution& solution, WheelRef ref) {
  return at(at(solution.corners, ref.corner).wheels, ref.wheel);
}

struct Carry {
  Eigen::Matrix3d R = Eigen::Matrix3d::Identity();
  Vec3 s_mm = Vec3::Zero();
  Vec3 w_per_mm = Vec3::Zero();  ///< turning [rad/mm]
  Vec3 v = Vec3::Zero();         ///< of the point at the vehicle's origin [mm/mm]
};

inline Vec3 carried(const Carry& carry, const Vec3& x_mm) { return carry.R * x_mm + carry.s_mm; }

/// Where a carried point was at rest.
inline Vec3 uncarried(const Carry& carry, const Vec3& p_mm) { return carry.R.transpose() * (p_mm - carry.s_mm); }

/// How a carried point moves. @param p_mm  where it is now
inline Vec3 velocity(const Carry& carry, const Vec3& p_mm) { return carry.w_per_mm.cross(p_mm) + carry.v; }

/// From rest to now, of what is fixed to the body that carries a wheel.
Carry carry(const Corner& corner, Plane plane, const CarrierPlace& rest, const CarrierPlace& now);

/// How a wheel's carrier stands at rest and along its curve; none where it can't rise alone.
struct CarrierTravel {
  const Corner* corner = nullptr;
  Plane plane = Plane::side;
  CarrierPlace rest;
  double rest_travel_mm = 0;  ///< above full droop
  const Curve* curve = nullptr;
};
std::optional<CarrierTravel> carrier_travel(const Model& model, const Solution& solution, WheelRef wheel);

}  // namespace ridepitch
