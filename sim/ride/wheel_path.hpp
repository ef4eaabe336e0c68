#pragma once
// What a wheel's path does at the ground: camber, track, wheelbase and roll centre.
//
// Letters: C  the chassis grid [u, v];  B  the body that carries the wheel;  phi  how far B has turned from where the
// wheel stands upright, from u to v [rad];  r  radius;  p  the wheel's centre, c  its contact, both in C [mm].
// Dashes are slopes over travel, the rise of the centre: p' = (u', 1).
//
//     c = p - r (-sin phi, cos phi)        the contact is the lowest place of the wheel's plane (ISO 8855)
//     c' = p' + r phi' (cos phi, sin phi)
//
// B turns about its instant centre, which lies perpendicular to c' as seen from c; the line through both meets the vehicle's
// plane of symmetry in the roll centre. In the side plane nothing leans, and the contact goes along with the centre.

#include <cmath>
#include <optional>

#include "linkage/mechanism.hpp"
#include "ride/solution.hpp"
#include "ride/system.hpp"

namespace ridepitch {

/// How the body that carries a wheel moves with a motion dq of its linkage in which the wheel rises by 1 mm.
WheelMotion wheel_motion(const Mechanism& mechanism, int wheel, const Eigen::VectorXd& q, const Eigen::VectorXd& dq);

/// How a wheel sits on its corner: what stays the same over its travel.
struct WheelSeat {
  Plane plane = Plane::side;
  Vec3 at_mm = Vec3::Zero();  ///< the chassis grid's origin on the vehicle
  double u_sign = 1;
  double outward = 0;      ///< sign of y on its side of the vehicle; 0 in the middle, where no side is outward
  double upright_rad = 0;  ///< turn of its body at which it stands upright
  double radius_mm = 0;    ///< from its centre to its contact
};

/// A wheel stands perpendicular to that direction of its body's grid which at full droop lies nearest across the vehicle.
/// @param droop_rad  turn of its body at full droop
/// @param centre_C   at rest; tells the side
WheelSeat wheel_seat(const Member& member, double droop_rad, const Vec2& centre_C, double radius_mm);

/// A place of the contact and how it moves for each mm of travel, in C.
struct ContactMotion {
  Vec2 c = Vec2::Zero(), per_mm = Vec2::UnitY();
};
ContactMotion contact_motion(const WheelSeat& seat, const Vec2& centre_C, const WheelMotion& motion);

/// Camber over travel [rad/mm], and how fast the contact goes outward and forward [mm/mm].
struct PathSlopes {
  std::optional<double> camber, outward, forward;
};
PathSlopes path_slopes(const WheelSeat& seat, const WheelMotion& motion);

/// Height v, in C, at which the line from the contact through the instant centre meets the vehicle's plane of symmetry.
/// @returns none in the side plane, for a wheel in the middle, and where the contact does not rise or fall
std::optional<double> roll_centre_v(const WheelSeat& seat, const ContactMotion& contact);

/// One place of a wheel's travel.
/// @param rest_c  its contact at rest, in C. The roll centre's height is that over the contact: the vehicle has come down level.
PathPoint path_point(const WheelSeat& seat, const Vec2& centre_C, const WheelMotion& motion, const Vec2& rest_c);

/// A difference that is nothing but rounding is shown as 0, not as -3e-14.
inline double without_rounding(double x) { return std::abs(x) < 1e-11 ? 0.0 : x; }

}  // namespace ridepitch
