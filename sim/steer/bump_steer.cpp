#include "steer/bump_steer.hpp"

#include <algorithm>
#include <cmath>
#include <iterator>

#include <Eigen/Geometry>

#include "model/index.hpp"
#include "model/on_vehicle.hpp"
#include "model/units.hpp"
#include "ride/pose.hpp"
#include "steer/knuckle.hpp"

namespace ridepitch {
namespace {

constexpr double motionless = 1e-9;  // of a ball's motion: it does not move in that direction
constexpr double farthest_mm = 1e4;  // that an inner end is offered another place from where it is

struct Toe {
  double heading_rad = 0, slope_rad_per_mm = 0;
};

std::optional<Toe> toe_at(const KnuckleSet& set, std::size_t k, const std::vector<Pose>& poses,
                          const std::vector<Carry>& carries) {
  const auto turn = turn_knuckles(set, poses, carries)[k];
  if (!turn) return std::nullopt;
  const Knuckle& knuckle = set.knuckles[k];
  const Vec3 ahead = turned_with(knuckle, carries[k], turn->psi_rad, knuckle.ahead);
  const HeadingSlope slope = heading_slope(knuckle, carries[k], ahead);
  return Toe{heading_rad(ahead), slope.still + slope.by_turn * turn->psi_rad_per_mm};
}

// A difference that is nothing but rounding is shown as 0, not as -3e-14.
double without_rounding(double x) { return std::abs(x) < 1e-11 ? 0.0 : x; }

double per_10mm(double rad_per_mm) { return without_rounding(10 * rad_per_mm / rad_per_deg); }

double turned_deg(double from_rad, double to_rad) {
  return without_rounding(std::remainder(to_rad - from_rad, 360 * rad_per_deg) / rad_per_deg);
}

KingpinLean lean_of(const Knuckle& knuckle, const Carry& carry) {
  const Vec3 axis = carry.R * knuckle.axis;
  const double inward = knuckle.pin_mm.y() < 0 ? 1 : -1;
  return {without_rounding(std::atan2(-axis.x(), axis.z()) / rad_per_deg),
          without_rounding(std::atan2(inward * axis.y(), axis.z()) / rad_per_deg)};
}

std::optional<BumpCurve> bump_curve(const Model& model, const KnuckleSet& set, std::size_t k, WheelRef rising,
                                    const CarrierTravel& travel, const std::vector<Pose>& poses) {
  const auto place = [&](const CarrierPlace& now) {
    return toe_at(set, k, poses, carries_of(model, set, rising, carry(*travel.corner, travel.plane, travel.rest, now)));
  };
  const auto rest = place(travel.rest);
  if (!rest) return std::nullopt;
  BumpCurve out;
  out.rest_slope_deg_per_10mm = per_10mm(rest->slope_rad_per_mm);
  out.rest_travel_mm = travel.rest_travel_mm;
  // Adds a point of the curve; false where the rod does not reach.
  const auto add = [&](const CurvePoint& point) {
    const auto toe = place({point.centre_C_mm, point.motion});
    if (toe)
      out.points.push_back(
          {point.travel_mm, turned_deg(rest->heading_rad, toe->heading_rad), per_10mm(toe->slope_rad_per_mm)});
    return toe.has_value();
  };
  const auto& points = travel.curve->points;
  const auto above = std::find_if(points.begin(), points.end(),
                                  [&](const CurvePoint& p) { return p.travel_mm >= out.rest_travel_mm; });
  out.rod_ends_droop = !std::all_of(std::make_reverse_iterator(above), points.rend(), add);
  std::reverse(out.points.begin(), out.points.end());
  out.rod_ends_bump = !std::all_of(above, points.end(), add);
  const auto lean = [&](const CarrierPlace& now) {
    return lean_of(set.knuckles[k], carry(*travel.corner, travel.plane, travel.rest, now));
  };
  out.kingpin = {lean({points.front().centre_C_mm, points.front().motion}), lean(travel.rest),
                 lean({points.back().centre_C_mm, points.back().motion})};
  return out;
}

// What is known of one tie rod at rest, the drive at 0.
struct TieAtRest {
  const Knuckle& knuckle;
  const Corner& corner;  // of the top linkage
  const Pose& pose;      // of the inner end's body
  double module_mm = 8;
  Carry carry;  // of the knuckle
  HeadingSlope heading;
};

// Where its inner end is when it sits in a hole of its body. @param hole, height  in modules
Vec3 inner_end_mm(const TieAtRest& tie, const Vec2& hole, double height) {
  const Vec2 above = on_vehicle(tie.corner, Plane::top, in_chassis(tie.pose, tie.module_mm * hole)).head<2>();
  return {above.x(), above.y(), tie.module_mm * height};
}

// What is then with the inner end at I: the knuckle turns so that the rod keeps its length; I stays.
InnerEnd inner_end(const TieAtRest& tie, const Vec3& I) {
  const Vec2 from_corner = (I - tie.corner.at_mm).head<2>();
  const Vec2 hole = on_body(tie.pose, {u_sign(tie.corner) * from_corner.x(), from_corner.y()}) / tie.module_mm;
  const Vec3 P = tie.knuckle.tie->ball_mm, w = P - I;
  const double psi = knuckle_rate(w, tie.knuckle.axis.cross(P - tie.knuckle.pin_mm), w.dot(velocity(tie.carry, P)));
  return {hole, I.z() / tie.module_mm, w.norm() / tie.module_mm,
          per_10mm(tie.heading.still + tie.heading.by_turn * psi)};
}

std::optional<ZeroSlope> zero_slope(const TieAtRest& tie) {
  const Vec3 P = tie.knuckle.tie->ball_mm, I = tie.knuckle.tie->inner_mm;
  if (!(std::abs(tie.heading.by_turn) > motionless)) return std::nullopt;
  const double psi = -tie.heading.still / tie.heading.by_turn;  // no toe
  const Vec3 V = velocity(tie.carry, P) + psi * tie.knuckle.axis.cross(P - tie.knuckle.pin_mm);
  const double flat = V.head<2>().squaredNorm(), off = (P - I).dot(V);
  if (!(V.norm() > motionless)) return std::nullopt;
  // Made in place: g++ 12 at -O3 takes the parts of a copy that are not there for uninitialised.
  std::optional<ZeroSlope> made(std::in_place);
  ZeroSlope& out = *made;
  out.now = inner_end(tie, I);
  out.exact = inner_end(tie, I + off / V.squaredNorm() * V);
  // Along V or along z; a motion that hardly changes the slope would have to be endless.
  if (flat > motionless * V.squaredNorm() && std::abs(off) < farthest_mm * std::sqrt(flat))
    out.level = inner_end(tie, I + off / flat * Vec3(V.x(), V.y(), 0));
  if (std::abs(V.z()) > motionless * V.norm() && std::abs(off) < farthest_mm * std::abs(V.z()))
    out.upright = inner_end(tie, I + Vec3(0, 0, off / V.z()));
  const Vec2 hole = out.now.hole + (out.exact.hole - out.now.hole).array().round().matrix();
  const double height = out.now.height + std::round(2 * (out.exact.height - out.now.height)) / 2;
  out.hole = inner_end(tie, inner_end_mm(tie, hole, height));
  return made;
}

}  // namespace

std::vector<BumpSteer> bump_steer(const Model& model, const Solution& solution, int index,
                                  const std::array<std::vector<Pose>, 2>& locks) {
  const Corner& corner = at(model.corners, index);
  const Linkage& linkage = linkage_at(model, index);
  const std::vector<Pose>& drawn = at(solution.corners, index).poses;
  const KnuckleSet set = knuckle_set(model, index, drawn);
  std::vector<BumpSteer> out;
  for (std::size_t w = 0; w < linkage.wheels.size(); ++w) {
    const Wheel& of = linkage.wheels[w];
    BumpSteer& wheel = out.emplace_back();
    wheel.wheel = static_cast<int>(w);
    wheel.same_as = of.same_as;
    wheel.toe_deg = heading_rad(drawn_ahead(corner, of, at(drawn, of.at.body).theta_rad)) / rad_per_deg;
    const auto knuckle = std::find_if(set.knuckles.begin(), set.knuckles.end(),
                                      [&](const Knuckle& k) { return k.wheel == wheel.wheel; });
    if (knuckle == set.knuckles.end()) continue;
    const auto& tie = knuckle->tie;
    wheel.dead_point = knuckle->in_line && !tie && !knuckle->driven;
    if (tie) {
      wheel.rod = at(linkage.rods, tie->rod).name;
      wheel.heights_given = tie->heights_given;
    }
    const auto travel = knuckle->same_as ? carrier_travel(model, solution, *knuckle->same_as) : std::nullopt;
    if (!travel) continue;
    const auto curve = [&](const std::vector<Pose>& poses) {
      const auto k = static_cast<std::size_t>(knuckle - set.knuckles.begin());
      return bump_curve(model, set, k, *knuckle->same_as, *travel, poses);
    };
    wheel.straight = curve(drawn);
    if (wheel.straight && std::isnan(wheel.straight->rest_slope_deg_per_10mm)) wheel.dead_point = true;
    for (std::size_t end = 0; end < 2; ++end)
      if (!locks[end].empty()) wheel.lock[end] = curve(locks[end]);
    if (!tie || tie->inner_knuckle >= 0) continue;
    const Carry at_rest = carry(*travel->corner, travel->plane, travel->rest, travel->rest);
    wheel.zero = zero_slope({*knuckle, corner, at(drawn, tie->inner.body), model.module_mm, at_rest,
                             heading_slope(*knuckle, at_rest, knuckle->ahead)});
  }
  return out;
}

}  // namespace ridepitch
