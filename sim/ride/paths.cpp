#include "ride/rested.hpp"

#include <algorithm>
#include <cmath>

#include "linkage/closure.hpp"
#include "model/index.hpp"
#include "model/units.hpp"
#include "ride/hold.hpp"
#include "ride/wheel_path.hpp"
#include "ride/wheel_state.hpp"

namespace ridepitch {
namespace {

WheelSeat seat_of(const RestedVehicle& rested, std::size_t m, int wheel) {
  const Member& member = rested.vehicle.system.members[m];
  const int body = at(member.mechanism->wheels, wheel).at.body;
  const double droop_rad = body == ground ? 0 : at(rested.vehicle.droops, rested.vehicle.linkage_of[m]).q[3 * body + 2];
  const double load = ground_load(rested.vehicle.system, rested.rest, m, static_cast<std::size_t>(wheel));
  return wheel_seat(member, droop_rad, wheel_centre(*member.mechanism, wheel, rested.rest.state.q[m]),
                    loaded_radius_mm(at(member.treads, wheel), load));
}

// How a linkage moves where one of its wheels rises by 1 mm: that wheel alone, and with the other side's falling as far.
struct RiseAlone {
  std::optional<Eigen::VectorXd> alone, rolling;
};

// The only motion of a linkage with a single freedom; none where the wheel does not rise.
RiseAlone only_rise(const Mechanism& mechanism, const Eigen::VectorXd& q, int wheel) {
  if (mechanism.freedoms() != 1 || at_dead_point(mechanism, q, wheel)) return {};
  const Eigen::VectorXd T = tangents(linearised(mechanism, q).part);
  const double rise = slopes_along(at(mechanism.wheels, wheel).height, q, T)[0];
  return {T / rise, T / rise};
}

std::optional<double> degrees(const std::optional<double>& radians) {
  return radians ? std::optional(*radians * deg_per_rad) : std::nullopt;
}

double roll_centre_at_rest(const RestedVehicle& rested, const Member& member, double roll_centre_v, double contact_v) {
  if (!rested.vehicle.system.on_ground) return roll_centre_v - contact_v;
  return height_of(rested.rest.state, Vec3(member.at_mm.x(), 0, member.at_mm.z() + roll_centre_v));
}

// The path of a wheel at rest. @param own  how its body stands and moves with `rise.alone`
WheelPath path_at_rest(const RestedVehicle& rested, std::size_t m, int wheel, const WheelSeat& seat,
                       const Vec2& centre_C, const WheelMotion& own, const RiseAlone& rise) {
  const Member& member = rested.vehicle.system.members[m];
  WheelPath path;
  const Vec2 rest_c = contact_motion(seat, centre_C, own).c;
  path.rest = path_point(seat, centre_C, own, rest_c);
  path.rest.roll_centre_mm.reset();
  if (!rise.alone) return path;
  const PathSlopes slopes = path_slopes(seat, own);
  path.camber_deg_per_mm = degrees(slopes.camber);
  path.track_change_mm_per_mm = slopes.outward;
  path.wheelbase_change_mm_per_mm = slopes.forward;
  const WheelMotion roll = wheel_motion(*member.mechanism, wheel, rested.rest.state.q[m], *rise.rolling);
  if (const auto v = roll_centre_v(seat, contact_motion(seat, centre_C, roll)))
    path.rest.roll_centre_mm = roll_centre_at_rest(rested, member, *v, rest_c.y());
  return path;
}

}  // namespace

void add_paths(const RestedVehicle& rested, std::size_t m, const Eigen::MatrixXd& motion, CornerResult& corner,
               std::vector<Curve>& curves) {
  const Mechanism& mechanism = *rested.vehicle.system.members[m].mechanism;
  const Eigen::VectorXd& q = rested.rest.state.q[m];
  const std::vector<int> movers = moving_wheels(mechanism);
  std::vector<WheelSeat> seats;
  for (const int wheel : movers) seats.push_back(seat_of(rested, m, wheel));
  for (int k = 0; k < count(movers); ++k) {
    const int i = at(movers, k);
    const WheelSeat& seat = at(seats, k);
    WheelResult& wheel = at(corner.wheels, i);
    const auto other =
        std::find_if(seats.begin(), seats.end(), [&](const WheelSeat& s) { return s.outward * seat.outward < 0; });
    RiseAlone rise;
    if (motion.cols() > 0) {
      rise.alone = rise.rolling = motion.col(k);
      if (other != seats.end()) *rise.rolling -= motion.col(other - seats.begin());
    } else {
      rise = only_rise(mechanism, q, i);
    }
    WheelMotion own;
    own.turn_rad = q[3 * at(mechanism.wheels, i).at.body + 2];
    if (rise.alone) own = wheel_motion(mechanism, i, q, *rise.alone);
    if (motion.cols() > 0) wheel.motion = own;
    const Vec2 rest_c = contact_motion(seat, wheel.centre_C_mm, own).c;
    WheelPath path = path_at_rest(rested, m, i, seat, wheel.centre_C_mm, own, rise);
    for (Curve& curve : curves) {
      if (curve.corner != rested.vehicle.corner_of[m] || curve.wheel != i || curve.points.empty()) continue;
      for (CurvePoint& point : curve.points) {
        point.path = path_point(seat, point.centre_C_mm, point.motion, rest_c);
        if (other != seats.end()) point.path.roll_centre_mm.reset();
      }
      path.droop = curve.points.front().path;
      path.bump = curve.points.back().path;
    }
    wheel.path = path;
  }
}

namespace {

// A wheel of one side as an axle sees it.
struct Side {
  std::string name;
  Vec3 centre = Vec3::Zero();  // vehicle axes
  double radius_mm = 0;
  double contact_left_mm = 0;  // along the floor
  std::optional<double> roll_centre_mm;
};

Side side_of(const RestedVehicle& rested, std::size_t m, int i, const CornerResult& corner) {
  const Member& member = rested.vehicle.system.members[m];
  const State& state = rested.rest.state;
  const WheelResult& wheel = at(corner.wheels, i);
  const WheelSeat seat = seat_of(rested, m, i);
  Side side{.name = corner.name + "/" + wheel.name,
            .centre = wheel_point(member, at(member.treads, i), wheel.centre_C_mm),
            .radius_mm = at(member.treads, i).radius_mm,
            .contact_left_mm = 0,
            .roll_centre_mm = {}};
  if (member.plane == Plane::front && wheel.path) {
    WheelMotion at_rest;
    at_rest.turn_rad = state.q[m][3 * at(member.mechanism->wheels, i).at.body + 2];
    side.contact_left_mm = levelled(state, plane_point(member, contact_motion(seat, wheel.centre_C_mm, at_rest).c)).y();
    side.roll_centre_mm = wheel.path->rest.roll_centre_mm;
    return side;
  }
  // In the side plane it moves straight up in the vehicle: the line from its contact to the plane of symmetry is level there.
  side.contact_left_mm = levelled(state, side.centre).y();
  if (!wheel.path) return side;  // fixed: the body cannot roll on it
  const double straight_down_z = std::cos(state.pitch_rad) * std::cos(state.roll_rad) * seat.radius_mm;
  const double straight_down_x = -std::sin(state.pitch_rad) * seat.radius_mm;
  side.roll_centre_mm = height_of(state, Vec3(side.centre.x() - straight_down_x, 0, side.centre.z() - straight_down_z));
  return side;
}

}  // namespace

std::vector<AxleResult> find_axles(const RestedVehicle& rested, const std::vector<CornerResult>& corners) {
  std::vector<Side> left, right;
  for (std::size_t c = 0; c < corners.size(); ++c) {
    const int m = rested.vehicle.member_of[c];
    if (m < 0) continue;
    for (int i = 0; i < count(corners[c].wheels); ++i) {
      Side side = side_of(rested, static_cast<std::size_t>(m), i, corners[c]);
      if (side.centre.y() != 0) (side.centre.y() > 0 ? left : right).push_back(std::move(side));
    }
  }
  std::vector<AxleResult> axles;
  for (const Side& one : left) {
    const auto from_mirror_image = [&](const Side& other) {
      return std::hypot(one.centre.x() - other.centre.x(), one.centre.y() + other.centre.y());
    };
    const auto other = std::min_element(right.begin(), right.end(), [&](const Side& a, const Side& b) {
      return from_mirror_image(a) < from_mirror_image(b);
    });
    if (other == right.end() ||
        std::abs(one.centre.x() - other->centre.x()) > std::min(one.radius_mm, other->radius_mm))
      continue;
    AxleResult axle{.wheels = {one.name, other->name},
                    .track_mm = one.contact_left_mm - other->contact_left_mm,
                    .roll_centre_mm = {}};
    // A side force shared equally by both tyres: the mean of where their lines meet the plane of symmetry.
    if (one.roll_centre_mm && other->roll_centre_mm)
      axle.roll_centre_mm = 0.5 * (*one.roll_centre_mm + *other->roll_centre_mm);
    if (axle.roll_centre_mm && std::abs(*axle.roll_centre_mm) < 1e-9) axle.roll_centre_mm = 0;
    axles.push_back(axle);
    right.erase(other);
  }
  return axles;
}

}  // namespace ridepitch
