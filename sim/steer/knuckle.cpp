#include "steer/knuckle.hpp"

#include <algorithm>
#include <cmath>

#include <Eigen/Geometry>

#include "model/on_vehicle.hpp"
#include "ride/pose.hpp"

namespace ridepitch {
namespace {

constexpr double in_line = 1e-9;  // of the arm's length times the rod's: ball, rod and kingpin lie in one plane

// Where a hole of the top linkage is on the vehicle, at a height.
Vec3 hole_at(const Corner& corner, const Linkage& linkage, const std::vector<Pose>& poses, HoleRef ref, double z_mm) {
  const Pose& pose = poses[static_cast<std::size_t>(ref.body)];
  const Vec2& p = linkage.bodies[static_cast<std::size_t>(ref.body)].holes[static_cast<std::size_t>(ref.hole)].p_B;
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

bool drive_turns(const Linkage& linkage, int body) {
  if (!linkage.drive || !linkage.drive->pin) return false;
  const Pin& pin = linkage.pins[static_cast<std::size_t>(*linkage.drive->pin)];
  return std::any_of(pin.holes.begin(), pin.holes.end(), [&](HoleRef h) { return h.body == body; });
}

Knuckle make_knuckle(const Model& model, int corner, const std::vector<Pose>& drawn, std::size_t wheel, HoleRef king) {
  const Corner& at = model.corners[static_cast<std::size_t>(corner)];
  const Linkage& linkage = linkage_at(model, corner);
  const Wheel& of = linkage.wheels[wheel];
  Knuckle out;
  out.wheel = static_cast<int>(wheel);
  out.body = of.at.body;
  out.same_as = find_wheel(model, of.same_as);
  out.pin_mm = hole_at(at, linkage, drawn, king, at.at_mm.z());
  out.axis = king_axis(of, hole_at(at, linkage, drawn, of.at, at.at_mm.z()).y());
  const Vec2 ahead_C =
      Eigen::Rotation2Dd(drawn[static_cast<std::size_t>(out.body)].theta_rad) * of.ahead.value_or(Vec2::UnitX());
  out.ahead = on_vehicle(at, Plane::top, ahead_C) - at.at_mm;
  out.driven = drive_turns(linkage, out.body);
  return out;
}

TieRod make_tie(const KnuckleSet& set, const Knuckle& knuckle, std::size_t index, const std::vector<Pose>& drawn) {
  const Corner& at = set.model->corners[static_cast<std::size_t>(set.corner)];
  const Linkage& linkage = linkage_at(*set.model, set.corner);
  const Rod& rod = linkage.rods[index];
  const bool from_knuckle = rod.from.body == knuckle.body;
  const auto heights = rod.height_mm.value_or(std::array<double, 2>{at.at_mm.z(), at.at_mm.z()});
  TieRod tie;
  tie.rod = static_cast<int>(index);
  tie.inner = from_knuckle ? rod.to : rod.from;
  tie.inner_z_mm = from_knuckle ? heights[1] : heights[0];
  tie.heights_given = rod.height_mm.has_value();
  tie.ball_mm = hole_at(at, linkage, drawn, from_knuckle ? rod.from : rod.to, from_knuckle ? heights[0] : heights[1]);
  tie.inner_mm = hole_at(at, linkage, drawn, tie.inner, tie.inner_z_mm);
  tie.length_mm = (tie.ball_mm - tie.inner_mm).norm();
  tie.side = (tie.inner_mm - knuckle.pin_mm).dot(knuckle.axis.cross(tie.ball_mm - knuckle.pin_mm));
  return tie;
}

bool in_line_as_drawn(const Knuckle& knuckle, const TieRod& tie) {
  return std::abs(tie.side) <= in_line * (tie.ball_mm - knuckle.pin_mm).norm() * tie.length_mm;
}

// Gives every knuckle the rod that holds it: one to a body that is no knuckle before one to a knuckle that is held.
void hold_knuckles(const Linkage& linkage, const std::vector<Pose>& drawn, KnuckleSet& set) {
  std::vector<Knuckle> waiting = std::move(set.knuckles), held;
  const auto held_body = [&](int body) {
    const auto found = std::find_if(held.begin(), held.end(), [&](const Knuckle& k) { return k.body == body; });
    return found == held.end() ? -1 : static_cast<int>(found - held.begin());
  };
  const auto is_knuckle = [&](int body) {
    return held_body(body) >= 0 ||
           std::any_of(waiting.begin(), waiting.end(), [&](const Knuckle& k) { return k.body == body; });
  };
  const auto take = [&](bool from_knuckles) {
    for (std::size_t k = 0; k < waiting.size(); ++k) {
      Knuckle knuckle = waiting[k];
      for (std::size_t r = 0; r < linkage.rods.size() && !knuckle.driven && !knuckle.tie; ++r) {
        const Rod& rod = linkage.rods[r];
        if ((rod.from.body == knuckle.body) == (rod.to.body == knuckle.body)) continue;
        const int other = rod.from.body == knuckle.body ? rod.to.body : rod.from.body;
        if (from_knuckles ? held_body(other) < 0 : is_knuckle(other)) continue;
        TieRod tie = make_tie(set, knuckle, r, drawn);
        tie.inner_knuckle = held_body(other);
        if (in_line_as_drawn(knuckle, tie)) continue;
        tie.side = tie.side > 0 ? 1 : -1;
        knuckle.tie = tie;
      }
      if (!knuckle.tie && !knuckle.driven) continue;
      held.push_back(std::move(knuckle));
      waiting.erase(waiting.begin() + static_cast<std::ptrdiff_t>(k));
      return true;
    }
    return false;
  };
  while (take(false) || take(true)) {
  }
  held.insert(held.end(), waiting.begin(), waiting.end());
  set.knuckles = std::move(held);
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
  return std::remainder(psi, 2 * std::acos(-1.0));
}

}  // namespace

std::optional<HoleRef> kingpin_hole(const Linkage& linkage, int body) {
  for (const Pin& pin : linkage.pins) {
    const bool holds = std::any_of(pin.holes.begin(), pin.holes.end(), [&](HoleRef h) { return h.body == body; });
    const auto fixed = std::find_if(pin.holes.begin(), pin.holes.end(), [](HoleRef h) { return h.body == chassis; });
    if (holds && fixed != pin.holes.end()) return *fixed;
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
  for (std::size_t w = 0; w < linkage.wheels.size(); ++w) {
    const int body = linkage.wheels[w].at.body;
    if (body == chassis) continue;
    if (const auto king = kingpin_hole(linkage, body))
      set.knuckles.push_back(make_knuckle(model, corner, drawn, w, *king));
  }
  hold_knuckles(linkage, drawn, set);
  return set;
}

Vec3 turned_with(const Knuckle& knuckle, const Carry& carry, double psi_rad, const Vec3& direction) {
  return carry.R * (Eigen::AngleAxisd(psi_rad, knuckle.axis) * direction);
}

Vec3 on_knuckle(const Knuckle& knuckle, const Carry& carry, double psi_rad, const Vec3& x_mm) {
  return carried(carry, knuckle.pin_mm) + turned_with(knuckle, carry, psi_rad, x_mm - knuckle.pin_mm);
}

double heading_rad(const Vec3& direction) { return std::atan2(direction.y(), direction.x()); }

HeadingSlope heading_slope(const Knuckle& knuckle, const Carry& carry, const Vec3& e) {
  const Vec3 still = carry.w_per_mm.cross(e), by_turn = (carry.R * knuckle.axis).cross(e);
  const double flat = e.x() * e.x() + e.y() * e.y();
  return {(e.x() * still.y() - e.y() * still.x()) / flat, (e.x() * by_turn.y() - e.y() * by_turn.x()) / flat};
}

std::vector<std::optional<KnuckleTurn>> turn_knuckles(const KnuckleSet& set, const std::vector<Pose>& poses,
                                                      const std::vector<Carry>& carries) {
  const Corner& at = set.model->corners[static_cast<std::size_t>(set.corner)];
  const Linkage& linkage = linkage_at(*set.model, set.corner);
  std::vector<std::optional<KnuckleTurn>> turns(set.knuckles.size());
  for (std::size_t k = 0; k < set.knuckles.size(); ++k) {
    const Knuckle& knuckle = set.knuckles[k];
    const Carry& carry = carries[k];
    if (knuckle.driven) {
      turns[k] = KnuckleTurn{u_sign(at) * poses[static_cast<std::size_t>(knuckle.body)].theta_rad, 0};
      continue;
    }
    if (!knuckle.tie) continue;
    const TieRod& tie = *knuckle.tie;
    Vec3 inner, inner_v = Vec3::Zero();
    if (tie.inner_knuckle < 0) {
      inner = hole_at(at, linkage, poses, tie.inner, tie.inner_z_mm);
    } else {
      const auto other = static_cast<std::size_t>(tie.inner_knuckle);
      if (!turns[other]) continue;
      const Knuckle& holder = set.knuckles[other];
      inner = on_knuckle(holder, carries[other], turns[other]->psi_rad, tie.inner_mm);
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
    const double by_turn = w.dot((carry.R * knuckle.axis).cross(ball - carried(carry, knuckle.pin_mm)));
    turns[k] = KnuckleTurn{*psi, -w.dot(velocity(carry, ball) - inner_v) / by_turn};
  }
  return turns;
}

}  // namespace ridepitch
