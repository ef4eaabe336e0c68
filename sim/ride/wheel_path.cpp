#include "ride/wheel_path.hpp"

#include <cmath>
#include <numbers>

#include "model/units.hpp"

namespace ridepitch {
namespace {

constexpr double in_the_middle_mm = 1e-6;  // nearer to the plane of symmetry than any hole of a side
constexpr double stands_still = 1e-9;      // a contact's rise for each mm of the centre's

bool leans(const WheelSeat& seat) { return seat.plane == Plane::front && seat.outward != 0; }

// A turn from u to v tips the wheel's top towards -u.
double top_outward(const WheelSeat& seat) { return -seat.outward * seat.u_sign; }

}  // namespace

WheelMotion wheel_motion(const Mechanism& mechanism, int wheel, const Eigen::VectorXd& q, const Eigen::VectorXd& dq) {
  const WheelPoint& point = mechanism.wheels[static_cast<std::size_t>(wheel)];
  WheelMotion motion;
  if (point.at.body == ground) return motion;
  const Eigen::Index body = 3 * point.at.body;
  const Turn turn{std::cos(q[body + 2]), std::sin(q[body + 2])};
  const Vec2 r(turn.cos * point.at.p_B.x() - turn.sin * point.at.p_B.y(),
               turn.sin * point.at.p_B.x() + turn.cos * point.at.p_B.y());
  motion.turn_rad = q[body + 2];
  motion.turn_rad_per_mm = dq[body + 2];
  motion.centre_per_mm = Vec2(dq[body] - r.y() * dq[body + 2], dq[body + 1] + r.x() * dq[body + 2]);
  return motion;
}

WheelSeat wheel_seat(const Member& member, double droop_rad, const Vec2& centre_C, double radius_mm) {
  constexpr double quarter = std::numbers::pi / 2;
  const double y = plane_point(member, centre_C).y();
  return {.plane = member.plane,
          .at_mm = member.at_mm,
          .u_sign = member.u_sign,
          .outward = std::abs(y) < in_the_middle_mm ? 0.0
                     : y > 0                        ? 1.0
                                                    : -1.0,
          .upright_rad = quarter * std::round(droop_rad / quarter),
          .radius_mm = radius_mm};
}

ContactMotion contact_motion(const WheelSeat& seat, const Vec2& centre_C, const WheelMotion& motion) {
  if (seat.plane != Plane::front) return {centre_C - Vec2(0, seat.radius_mm), motion.centre_per_mm};
  const double phi = motion.turn_rad - seat.upright_rad;
  const Vec2 down(std::sin(phi), -std::cos(phi)), sideways(std::cos(phi), std::sin(phi));
  return {centre_C + seat.radius_mm * down, motion.centre_per_mm + seat.radius_mm * motion.turn_rad_per_mm * sideways};
}

PathSlopes path_slopes(const WheelSeat& seat, const WheelMotion& motion) {
  PathSlopes slopes;
  const Vec2 per_mm = contact_motion(seat, Vec2::Zero(), motion).per_mm;
  if (leans(seat)) {
    slopes.camber = without_rounding(top_outward(seat) * motion.turn_rad_per_mm);
    slopes.outward = without_rounding(seat.outward * seat.u_sign * per_mm.x());
  }
  if (seat.plane == Plane::side) slopes.forward = without_rounding(seat.u_sign * per_mm.x());
  return slopes;
}

std::optional<double> roll_centre_v(const WheelSeat& seat, const ContactMotion& contact) {
  if (!leans(seat) || !(std::abs(contact.per_mm.y()) > stands_still)) return std::nullopt;
  const double middle_u = -seat.u_sign * seat.at_mm.y();  // where the vehicle's y is 0
  const double v = contact.c.y() - (middle_u - contact.c.x()) * contact.per_mm.x() / contact.per_mm.y();
  return std::isfinite(v) ? std::optional(v) : std::nullopt;
}

PathPoint path_point(const WheelSeat& seat, const Vec2& centre_C, const WheelMotion& motion, const Vec2& rest_c) {
  PathPoint point;
  const ContactMotion contact = contact_motion(seat, centre_C, motion);
  if (leans(seat)) {
    point.camber_deg = without_rounding(top_outward(seat) * (motion.turn_rad - seat.upright_rad) * deg_per_rad);
    point.track_change_mm = without_rounding(seat.outward * seat.u_sign * (contact.c.x() - rest_c.x()));
    if (const auto v = roll_centre_v(seat, contact)) point.roll_centre_mm = without_rounding(*v - contact.c.y());
  }
  if (seat.plane == Plane::side)
    point.wheelbase_change_mm = without_rounding(seat.u_sign * (contact.c.x() - rest_c.x()));
  return point;
}

}  // namespace ridepitch
