#include "built.hpp"

#include <algorithm>
#include <cmath>
#include <stdexcept>

#include "law.hpp"

namespace ridepitch::oracle {
namespace {

// Which body of a pin it sits tight in: the chassis, else the first.
std::size_t tight_body(const Pin& pin) {
  for (std::size_t i = 0; i < pin.holes.size(); ++i)
    if (pin.holes[i].body == chassis) return i;
  return 0;
}

// The bodies as they move with one wheel.
struct Moving {
  const Layout layout;
  const Vector& x;
  const Matrix& motion;
  int wheel;

  double turn(int body) const { return body == chassis ? 0 : motion(layout.at(body) + 2, wheel) * body_angle_unit; }
  Vec2 at(HoleRef ref) const {
    const Vec2 p = layout.linkage->bodies[ref.body].holes[ref.hole].p_B;
    if (ref.body == chassis) return p;
    const int k = layout.at(ref.body);
    const double c = std::cos(x[k + 2] * body_angle_unit), s = std::sin(x[k + 2] * body_angle_unit);
    return {x[k] + c * p.x() - s * p.y(), x[k + 1] + s * p.x() + c * p.y()};
  }
  Vec2 speed(HoleRef ref) const {
    if (ref.body == chassis) return Vec2::Zero();
    const int k = layout.at(ref.body);
    const Vec2 arm = at(ref) - Vec2(x[k], x[k + 1]);
    return {motion(k, wheel) - turn(ref.body) * arm.y(), motion(k + 1, wheel) + turn(ref.body) * arm.x()};
  }
  // How fast a part between two holes turns against the bodies at its ends, both together.
  double turn_at_ends(HoleRef from, HoleRef to) const {
    const Vec2 along = at(to) - at(from), drift = speed(to) - speed(from);
    const double own = (along.x() * drift.y() - along.y() * drift.x()) / along.squaredNorm();
    return std::abs(own - turn(from.body)) + std::abs(own - turn(to.body));
  }
};

double spring_friction(const Spring& spring) {
  const Coil* coil = std::get_if<Coil>(&spring.data);
  return coil ? coil->friction_n : 0;
}

}  // namespace

double joint_force_n(const Linkage& linkage, const Members& members, const std::vector<SpringResult>& springs) {
  double sum = 0;
  for (std::size_t p = 0; p < linkage.pins.size(); ++p)
    for (std::size_t i = 0; i < linkage.pins[p].holes.size(); ++i)
      if (i != tight_body(linkage.pins[p])) sum += members.pins[p].forces[i].force_C_n.norm();
  for (const RodResult& rod : members.rods) sum += 2 * std::abs(rod.force_n);
  for (const SpringResult& spring : springs) sum += 2 * spring.total_force_n.value_or(0);
  return sum;
}

double friction_n(const Model& model, const Rig& rig, const Vector& x, const Rates& rates, int place,
                  const Members& members, const std::vector<SpringResult>& springs) {
  const Linkage& linkage = *rig.linkage;
  const Moving moving{rig.layout(), x, rates.motion, place};
  const double mu = model.friction.pin_mu.value, moment_mm = mu * model.friction.pin_radius_mm.value;
  double f = 0;
  for (std::size_t p = 0; p < linkage.pins.size(); ++p) {
    const Pin& pin = linkage.pins[p];
    const double tight = moving.turn(pin.holes[tight_body(pin)].body);
    for (std::size_t i = 0; i < pin.holes.size(); ++i)
      if (i != tight_body(pin))
        f += moment_mm * members.pins[p].forces[i].force_C_n.norm() * std::abs(moving.turn(pin.holes[i].body) - tight);
  }
  for (std::size_t r = 0; r < linkage.rods.size(); ++r)
    f += moment_mm * std::abs(members.rods[r].force_n) * moving.turn_at_ends(linkage.rods[r].from, linkage.rods[r].to);
  for (std::size_t s = 0; s < linkage.springs.size(); ++s) {
    const Spring& spring = linkage.springs[s];
    if (std::holds_alternative<Torsion>(spring.data)) continue;
    f += moment_mm * springs[s].total_force_n.value_or(0) * moving.turn_at_ends(spring.from, spring.to);
    f += spring.count * spring_friction(spring) * std::abs(rates.motion_ratio(static_cast<int>(s), place));
  }
  for (std::size_t s = 0; s < linkage.slides.size(); ++s)
    f += mu * std::abs(members.slides[s]) * std::abs(linkage.slides[s].along.dot(moving.speed(linkage.slides[s].hole)));
  return f;
}

std::optional<double> set_down_height_mm(const Model& model, const Rig& rig, const Vector& x, int place,
                                         const std::vector<int>& kept, double load_n) {
  if (!(load_n > 0)) return std::nullopt;
  const std::optional<Stroke> way = stroke(rig, x, place, kept);
  if (!way) return std::nullopt;
  const int wheels = static_cast<int>(rig.sprung.size()), count = static_cast<int>(rig.linkage->springs.size());
  const Programme bare = bare_programme(rig.layout());
  double mean = 0;
  for (const Place& at : way->places) {
    Rates rates{Matrix(count, wheels), Matrix(wheels, wheels), Matrix(rig.layout().variables(), wheels)};
    for (int i = 0; i < rates.motion.rows; ++i) rates.motion(i, place) = at.motion[i];
    std::vector<SpringResult> springs(count);
    for (int s = 0; s < count; ++s) {
      const Term length = spring_length(rig.layout(), s);
      rates.motion_ratio(s, place) = -dot(gradient(bare, length, at.x), at.motion);
      const Spring& spring = rig.linkage->springs[s];
      if (std::holds_alternative<Torsion>(spring.data)) continue;
      springs[s].total_force_n = spring.count * std::abs(push_n(spring, value(bare, length, at.x)));
    }
    mean += at.share * friction_n(model, rig, at.x, rates, place, members_of(*rig.linkage, at.joint_force, 0), springs);
  }
  return (way->energy_n_mm + mean * way->length_mm) / load_n - way->length_mm;
}

Stance held_by_friction(const Stance& rest, double sign, bool bench,
                        const std::function<Vector(const Stance&)>& friction) {
  constexpr int rounds = 60;
  constexpr double settled_n = 1e-9;
  Stance stance = rest;
  const auto f = std::make_shared<Vector>(friction(rest));
  for (std::size_t i = 0; i < rest.contacts.size(); ++i) {
    const Term v = wheel_height(rest.parts[rest.contacts[i].part].layout, rest.contacts[i].wheel);
    stance.programme.energy.push_back(
        {v.variables, [f, i, sign, height = v.of](const Jets& q) { return (sign * (*f)[i]) * height(q); }});
  }
  for (int round = 0; round < rounds; ++round) {
    stance.point = minimise(stance.programme, stance.point);
    if (!stance.point.solved) break;
    if (!bench) read_loads(stance);
    const Vector next = friction(stance);
    double change = 0;
    for (std::size_t i = 0; i < next.size(); ++i) change = std::max(change, std::abs(next[i] - (*f)[i]));
    if (change < settled_n) return stance;
    *f = next;
  }
  throw std::runtime_error("oracle: friction does not settle");
}

}  // namespace ridepitch::oracle
