#include "steer/bump_steer.hpp"

#include <algorithm>
#include <cmath>

#include <Eigen/Geometry>

#include "model/on_vehicle.hpp"
#include "model/units.hpp"
#include "ride/pose.hpp"
#include "steer/carrier_travel.hpp"

namespace ridepitch {
namespace {

constexpr double no_way = 1e-9;  // of a ball's motion: it does not go that way at all

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

std::optional<BumpCurve> bump_curve(const Model& model, const KnuckleSet& set, std::size_t k, WheelRef rising,
                                    const CarrierTravel& way, const std::vector<Pose>& poses) {
  const auto place = [&](const CarrierPlace& now) {
    return toe_at(set, k, poses, carries_of(model, set, rising, carry(*way.corner, way.plane, way.rest, now)));
  };
  const auto rest = place(way.rest);
  if (!rest) return std::nullopt;
  BumpCurve out;
  out.rest_slope_deg_per_10mm = per_10mm(rest->slope_rad_per_mm);
  const auto& points = way.curve->points;
  out.rest_travel_mm = way.rest_travel_mm;
  const auto at = [&](std::size_t i) -> std::optional<BumpPoint> {
    const auto toe = place({points[i].centre_C_mm, points[i].motion});
    if (!toe) return std::nullopt;
    return BumpPoint{points[i].travel_mm, turned_deg(rest->heading_rad, toe->heading_rad),
                     per_10mm(toe->slope_rad_per_mm)};
  };
  const auto above =
      static_cast<std::size_t>(std::find_if(points.begin(), points.end(),
                                            [&](const CurvePoint& p) { return p.travel_mm >= out.rest_travel_mm; }) -
                               points.begin());
  for (std::size_t i = above; i-- > 0 && !out.rod_ends_droop;) {
    if (const auto point = at(i))
      out.points.push_back(*point);
    else
      out.rod_ends_droop = true;
  }
  std::reverse(out.points.begin(), out.points.end());
  for (std::size_t i = above; i < points.size() && !out.rod_ends_bump; ++i) {
    if (const auto point = at(i))
      out.points.push_back(*point);
    else
      out.rod_ends_bump = true;
  }
  return out;
}

// What is known of one tie rod at rest, the drive at 0, and how its inner end is placed.
struct InnerEnds {
  const Knuckle& knuckle;
  const Corner& corner;  // of the top linkage
  const Pose& pose;      // of the inner end's body
  double module_mm = 8;
  Carry carry;  // of the knuckle
  HeadingSlope heading;

  Vec3 point_mm(const Vec2& hole, double height) const {
    Vec3 out = on_vehicle(corner, Plane::top, in_chassis(pose, module_mm * hole));
    out.z() = module_mm * height;
    return out;
  }

  Vec2 hole(const Vec3& point_mm) const {
    const Vec2 p_C(u_sign(corner) * (point_mm.x() - corner.at_mm.x()), point_mm.y() - corner.at_mm.y());
    return on_body(pose, p_C) / module_mm;
  }

  // The knuckle turns so that the rod keeps its length; I stays.
  InnerEnd end(const Vec3& I) const {
    const Vec3 P = knuckle.tie->ball_mm, w = P - I;
    const double psi = -w.dot(velocity(carry, P)) / w.dot(knuckle.axis.cross(P - knuckle.pin_mm));
    return {hole(I), I.z() / module_mm, w.norm() / module_mm, per_10mm(heading.still + heading.by_turn * psi)};
  }
};

std::optional<ZeroSlope> zero_slope(const InnerEnds& ends) {
  const TieRod& tie = *ends.knuckle.tie;
  const Vec3 P = tie.ball_mm, I = tie.inner_mm;
  if (!(std::abs(ends.heading.by_turn) > no_way)) return std::nullopt;
  const double psi = -ends.heading.still / ends.heading.by_turn;  // no toe
  const Vec3 V = velocity(ends.carry, P) + psi * ends.knuckle.axis.cross(P - ends.knuckle.pin_mm);
  const double flat = V.head<2>().squaredNorm(), off = (P - I).dot(V);
  if (!(V.norm() > no_way)) return std::nullopt;
  // Made in place: g++ 12 at -O3 takes the parts of a copy that are not there for uninitialised.
  std::optional<ZeroSlope> made(std::in_place);
  ZeroSlope& out = *made;
  out.now = ends.end(I);
  const Vec3 exact = I + off / V.squaredNorm() * V;
  out.exact = ends.end(exact);
  if (flat > no_way * V.squaredNorm()) out.level = ends.end(I + off / flat * Vec3(V.x(), V.y(), 0));
  if (std::abs(V.z()) > no_way * V.norm()) out.upright = ends.end(I + Vec3(0, 0, off / V.z()));
  const Vec2 step = out.exact.hole - out.now.hole;
  const Vec2 hole = out.now.hole + Vec2(std::round(step.x()), std::round(step.y()));
  out.hole = ends.end(ends.point_mm(hole, out.now.height + std::round(2 * (out.exact.height - out.now.height)) / 2));
  return made;
}

}  // namespace

std::vector<BumpSteer> bump_steer(const Model& model, const Solution& solution, int corner,
                                  const std::array<std::vector<Pose>, 2>& locks) {
  const Corner& at = model.corners[static_cast<std::size_t>(corner)];
  const Linkage& linkage = linkage_at(model, corner);
  const std::vector<Pose>& drawn = solution.corners[static_cast<std::size_t>(corner)].poses;
  const KnuckleSet set = knuckle_set(model, corner, drawn);
  std::vector<BumpSteer> out;
  for (std::size_t w = 0; w < linkage.wheels.size(); ++w) {
    BumpSteer wheel;
    wheel.wheel = static_cast<int>(w);
    wheel.same_as = linkage.wheels[w].same_as;
    const Pose& pose = drawn[static_cast<std::size_t>(linkage.wheels[w].at.body)];
    const Vec2 ahead_C = Eigen::Rotation2Dd(pose.theta_rad) * linkage.wheels[w].ahead.value_or(Vec2::UnitX());
    wheel.toe_deg = heading_rad(on_vehicle(at, Plane::top, ahead_C) - at.at_mm) / rad_per_deg;
    const auto found = std::find_if(set.knuckles.begin(), set.knuckles.end(),
                                    [&](const Knuckle& k) { return k.wheel == static_cast<int>(w); });
    if (found == set.knuckles.end()) {
      out.push_back(std::move(wheel));
      continue;
    }
    const auto k = static_cast<std::size_t>(found - set.knuckles.begin());
    if (found->tie) {
      wheel.rod = linkage.rods[static_cast<std::size_t>(found->tie->rod)].name;
      wheel.heights_given = found->tie->heights_given;
    }
    const auto way = found->same_as ? carrier_travel(model, solution, *found->same_as) : std::nullopt;
    if (way) {
      wheel.straight = bump_curve(model, set, k, *found->same_as, *way, drawn);
      for (std::size_t end = 0; end < 2; ++end)
        if (!locks[end].empty()) wheel.lock[end] = bump_curve(model, set, k, *found->same_as, *way, locks[end]);
      if (found->tie && found->tie->inner_knuckle < 0) {
        const Carry still = carry(*way->corner, way->plane, way->rest, way->rest);
        wheel.zero = zero_slope({*found, at, drawn[static_cast<std::size_t>(found->tie->inner.body)], model.module_mm,
                                 still, heading_slope(*found, still, found->ahead)});
      }
    }
    out.push_back(std::move(wheel));
  }
  return out;
}

}  // namespace ridepitch
