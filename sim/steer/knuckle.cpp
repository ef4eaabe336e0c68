#include "steer/knuckle.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <numbers>
#include <utility>

#include <Eigen/Geometry>

#include "model/index.hpp"
#include "model/on_vehicle.hpp"
#include "model/units.hpp"
#include "ride/pose.hpp"

namespace ridepitch {
namespace {

constexpr double in_line = 1e-9;      // of the arm's length times the rod's: ball, rod and kingpin lie in one plane
constexpr double least_lever = 1e-3;  // sine of the angle between the two, under which no rate is told

// Where a hole of the top linkage is on the vehicle, at a height.
Vec3 hole_at(const Corner& corner, const Linkage& linkage, const std::vector<Pose>& poses, HoleRef ref, double z_mm) {
  const Pose& pose = at(poses, ref.body);
  const Vec2& p = at(at(linkage.bodies, ref.body).holes, ref.hole).p_B;
  Vec3 out = on_vehicle(corner, Plane::top, in_chassis(pose, p));
  out.z() = z_mm;
  return out;
}

// Caster and inclination are the angles between z and the kingpin as seen from the side and from the front (ISO 8855).
Vec3 king_axis(const Wheel& wheel, double y_mm) {
  if (!wheel.king_rad) return Vec3::UnitZ();
  const double inward = y_mm < 0 ? 1 : -1;
  return Vec3(-std::tan((*wheel.king_rad)[0]), inward * std::tan((*wheel.king_rad)[1]), 1).normalized();
}

bool holds(const Pin& pin, int body) {
  return std::any_of(pin.holes.begin(), pin.holes.end(), [&](HoleRef h) { return h.body == body; });
}

bool drive_turns(const Linkage& linkage, int body) {
  return linkage.drive && linkage.drive->pin && holds(at(linkage.pins, *linkage.drive->pin), body);
}

Knuckle make_knuckle(const Model& model, int index, const std::vector<Pose>& drawn, std::size_t wheel, HoleRef king) {
  const Corner& corner = at(model.corners, index);
  const Linkage& linkage = linkage_at(model, index);
  const Wheel& of = linkage.wheels[wheel];
  Knuckle out;
  out.wheel = static_cast<int>(wheel);
  out.body = of.at.body;
  out.same_as = find_wheel(model, of.same_as);
  out.pin_mm = hole_at(corner, linkage, drawn, king, corner.at_mm.z());
  out.axis = king_axis(of, hole_at(corner, linkage, drawn, of.at, corner.at_mm.z()).y());
  out.ahead = drawn_ahead(corner, of, at(drawn, out.body).theta_rad);
  out.driven = drive_turns(linkage, out.body);
  return out;
}

TieRod make_tie(const KnuckleSet& set, const Knuckle& knuckle, std::size_t index, const std::vector<Pose>& drawn) {
  const Corner& corner = at(set.model->corners, set.corner);
  const Linkage& linkage = linkage_at(*set.model, set.corner);
  const Rod& rod = linkage.rods[index];
  auto [ball_z, inner_z] = rod.height_mm.value_or(std::array{corner.at_mm.z(), corner.at_mm.z()});
  HoleRef ball = rod.from, inner = rod.to;
  if (ball.body != knuckle.body) {
    std::swap(ball, inner);
    std::swap(ball_z, inner_z);
  }
  TieRod tie;
  tie.rod = static_cast<int>(index);
  tie.inner = inner;
  tie.inner_z_mm = inner_z;
  tie.heights_given = rod.height_mm.has_value();
  tie.ball_mm = hole_at(corner, linkage, drawn, ball, ball_z);
  tie.inner_mm = hole_at(corner, linkage, drawn, inner, inner_z);
  tie.length_mm = (tie.ball_mm - tie.inner_mm).norm();
  tie.side = (tie.inner_mm - knuckle.pin_mm).dot(knuckle.axis.cross(tie.ball_mm - knuckle.pin_mm));
  return tie;
}

// Index of the knuckle that a body is; -1: none of them.
int knuckle_of(const std::vector<Knuckle>& knuckles, int body) {
  const auto found = std::find_if(knuckles.begin(), knuckles.end(), [&](const Knuckle& k) { return k.body == body; });
  return found == knuckles.end() ? -1 : static_cast<int>(found - knuckles.begin());
}

int carrier_of(const Model& model, WheelRef wheel) {
  return at(linkage_at(model, wheel.corner).wheels, wheel.wheel).at.body;
}

// The rod that holds a knuckle: to a body that is no knuckle, or to a knuckle of `set`, which is held.
std::optional<TieRod> find_tie(const KnuckleSet& set, const std::vector<Knuckle>& waiting, Knuckle& knuckle,
                               bool over_knuckles, const std::vector<Pose>& drawn) {
  const std::vector<Rod>& rods = linkage_at(*set.model, set.corner).rods;
  for (std::size_t r = 0; r < rods.size(); ++r) {
    const int one = rods[r].from.body, two = rods[r].to.body;
    if ((one == knuckle.body) == (two == knuckle.body)) continue;
    const int other = one == knuckle.body ? two : one, holder = knuckle_of(set.knuckles, other);
    if (over_knuckles ? holder < 0 : holder >= 0 || knuckle_of(waiting, other) >= 0) continue;
    TieRod tie = make_tie(set, knuckle, r, drawn);
    tie.inner_knuckle = holder;
    if (std::abs(tie.side) <= in_line * (tie.ball_mm - knuckle.pin_mm).norm() * tie.length_mm) {
      knuckle.in_line = true;
      continue;
    }
    tie.side = tie.side > 0 ? 1 : -1;
    return tie;
  }
  return std::nullopt;
}

// Puts knuckles into the set with what holds them: a rod to a body that is no knuckle before one to a knuckle that is held.
void hold_knuckles(KnuckleSet& set, std::vector<Knuckle> waiting, const std::vector<Pose>& drawn) {
  const auto hold_next = [&](bool over_knuckles) {
    for (auto knuckle = waiting.begin(); knuckle != waiting.end(); ++knuckle) {
      if (!knuckle->driven) knuckle->tie = find_tie(set, waiting, *knuckle, over_knuckles, drawn);
      if (!knuckle->tie && !knuckle->driven) continue;
      set.knuckles.push_back(std::move(*knuckle));
      waiting.erase(knuckle);
      return true;
    }
    return false;
  };
  while (hold_next(false) || hold_next(true)) {
  }
  set.knuckles.insert(set.knuckles.end(), waiting.begin(), waiting.end());
}

// The solution of A cos + B sin = C on the side as drawn.
std::optional<double> turn_to_reach(const Vec3& a, const Vec3& r, const Vec3& d, double length_mm, double side) {
  const double along = a.dot(d) * a.dot(r);
  const double A = d.dot(r) - along, B = d.dot(a.cross(r)),
               C = (r.dot(r) + d.dot(d) - length_mm * length_mm) / 2 - along;
  const double reach = std::hypot(A, B);
  if (!(std::abs(C) <= reach)) return std::nullopt;
  double psi = std::atan2(B, A) - side * std::acos(C / reach);
  for (int i = 0; i < 2; ++i) {  // what the arc cosine has rounded away
    const double slope = B * std::cos(psi) - A * std::sin(psi);
    if (std::abs(slope) > in_line * reach) psi -= (A * std::cos(psi) + B * std::sin(psi) - C) / slope;
  }
  return std::remainder(psi, 2 * std::numbers::pi);
}

}  // namespace

Vec3 drawn_ahead(const Corner& corner, const Wheel& wheel, double theta_rad) {
  const Vec2 ahead_C = Eigen::Rotation2Dd(theta_rad) * wheel.ahead.value_or(Vec2::UnitX());
  return ahead_C.x() * u_axis(corner, Plane::top) + ahead_C.y() * v_axis(Plane::top);
}

std::optional<HoleRef> kingpin_hole(const Linkage& linkage, int body) {
  for (const Pin& pin : linkage.pins) {
    const auto fixed = std::find_if(pin.holes.begin(), pin.holes.end(), [](HoleRef h) { return h.body == chassis; });
    if (holds(pin, body) && fixed != pin.holes.end()) return *fixed;
  }
  return std::nullopt;
}

std::optional<WheelRef> find_wheel(const Model& model, const std::string& name) {
  for (std::size_t c = 0; c < model.corners.size(); ++c) {
    const auto& wheels = linkage_at(model, static_cast<int>(c)).wheels;
    for (std::size_t w = 0; w < wheels.size(); ++w)
      if (model.corners[c].name + "/" + wheels[w].name == name)
        return WheelRef{static_cast<int>(c), static_cast<int>(w)};
  }
  return std::nullopt;
}

KnuckleSet knuckle_set(const Model& model, int corner, const std::vector<Pose>& drawn) {
  KnuckleSet set{&model, corner, {}};
  const Linkage& linkage = linkage_at(model, corner);
  std::vector<Knuckle> all;
  for (std::size_t w = 0; w < linkage.wheels.size(); ++w) {
    const int body = linkage.wheels[w].at.body;
    const auto king = body == chassis ? std::nullopt : kingpin_hole(linkage, body);
    if (king) all.push_back(make_knuckle(model, corner, drawn, w, *king));
  }
  hold_knuckles(set, std::move(all), drawn);
  return set;
}

Vec3 turned_with(const Knuckle& knuckle, const Carry& carry, double psi_rad, const Vec3& direction) {
  return carry.R * (Eigen::AngleAxisd(psi_rad, knuckle.axis) * direction);
}

Vec3 on_knuckle(const Knuckle& knuckle, const Carry& carry, double psi_rad, const Vec3& x_mm) {
  return carried(carry, knuckle.pin_mm) + turned_with(knuckle, carry, psi_rad, x_mm - knuckle.pin_mm);
}

double knuckle_rate(const Vec3& w, const Vec3& across, double stretch) {
  const double lever = w.dot(across);
  const bool told = std::abs(lever) > least_lever * w.norm() * across.norm();
  return told ? -stretch / lever : std::numeric_limits<double>::quiet_NaN();
}

Vec3 tie_rod_inner_mm(const KnuckleSet& set, const TieRod& tie, const std::vector<Pose>& poses,
                      const std::vector<Carry>& carries, const std::vector<std::optional<KnuckleTurn>>& turns) {
  if (tie.inner_knuckle < 0)
    return hole_at(at(set.model->corners, set.corner), linkage_at(*set.model, set.corner), poses, tie.inner,
                   tie.inner_z_mm);
  return on_knuckle(at(set.knuckles, tie.inner_knuckle), at(carries, tie.inner_knuckle),
                    at(turns, tie.inner_knuckle)->psi_rad, tie.inner_mm);
}

Vec3 axis_at_rest(double y_mm, const Vec3& ahead, const WheelResult* sprung) {
  const Vec3 axis = Vec3(-ahead.y(), ahead.x(), 0).normalized();
  if (!sprung || !sprung->path || !sprung->path->rest.camber_deg) return axis;
  const double outward = y_mm < 0 ? -1 : 1;
  return Eigen::AngleAxisd(-outward * *sprung->path->rest.camber_deg * rad_per_deg, Vec3::UnitX()) * axis;
}

double heading_rad(const Vec3& direction) { return std::atan2(direction.y(), direction.x()); }

HeadingSlope heading_slope(const Knuckle& knuckle, const Carry& carry, const Vec3& e) {
  const Vec3 still = carry.w_per_mm.cross(e), by_turn = (carry.R * knuckle.axis).cross(e);
  const double flat = e.x() * e.x() + e.y() * e.y();
  return {(e.x() * still.y() - e.y() * still.x()) / flat, (e.x() * by_turn.y() - e.y() * by_turn.x()) / flat};
}

std::vector<std::optional<KnuckleTurn>> turn_knuckles(const KnuckleSet& set, const std::vector<Pose>& poses,
                                                      const std::vector<Carry>& carries) {
  const Corner& corner = at(set.model->corners, set.corner);
  std::vector<std::optional<KnuckleTurn>> turns(set.knuckles.size());
  for (std::size_t k = 0; k < set.knuckles.size(); ++k) {
    const Knuckle& knuckle = set.knuckles[k];
    const Carry& carry = carries[k];
    if (knuckle.driven) {
      turns[k] = KnuckleTurn{u_sign(corner) * at(poses, knuckle.body).theta_rad, 0};
      continue;
    }
    if (!knuckle.tie) continue;
    const TieRod& tie = *knuckle.tie;
    if (tie.inner_knuckle >= 0 && !at(turns, tie.inner_knuckle)) continue;
    const Vec3 inner = tie_rod_inner_mm(set, tie, poses, carries, turns);
    Vec3 inner_v = Vec3::Zero();
    if (tie.inner_knuckle >= 0) {
      const auto other = static_cast<std::size_t>(tie.inner_knuckle);
      const Knuckle& holder = set.knuckles[other];
      inner_v = velocity(carries[other], inner) +
                turns[other]->psi_rad_per_mm *
                    (carries[other].R * holder.axis).cross(inner - carried(carries[other], holder.pin_mm));
    }
    const auto psi = turn_to_reach(knuckle.axis, tie.ball_mm - knuckle.pin_mm, uncarried(carry, inner) - knuckle.pin_mm,
                                   tie.length_mm, tie.side);
    if (!psi) continue;
    // The rod keeps its length: w . (p_ball' - p_inner') = 0 with w from its inner end to its ball.
    const Vec3 ball = on_knuckle(knuckle, carry, *psi, tie.ball_mm);
    const Vec3 w = ball - inner;
    const Vec3 across = (carry.R * knuckle.axis).cross(ball - carried(carry, knuckle.pin_mm));
    turns[k] = KnuckleTurn{*psi, knuckle_rate(w, across, w.dot(velocity(carry, ball) - inner_v))};
  }
  return turns;
}

std::vector<Carry> carries_of(const Model& model, const KnuckleSet& set, WheelRef rising, const Carry& carry) {
  std::vector<Carry> carries;
  for (const Knuckle& knuckle : set.knuckles) {
    const auto& same = knuckle.same_as;
    const bool rises = same && same->corner == rising.corner && carrier_of(model, *same) == carrier_of(model, rising);
    carries.push_back(rises ? carry : Carry{});
  }
  return carries;
}

}  // namespace ridepitch
