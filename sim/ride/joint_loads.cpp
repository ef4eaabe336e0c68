#include "ride/joint_loads.hpp"

#include <cmath>

#include "linkage/dense.hpp"
#include "model/index.hpp"
#include "spring/spring_traits.hpp"

namespace ridepitch {
namespace {

Vec2 velocity(const BodyPoint& point, const std::vector<Turn>& turns, const Eigen::VectorXd& motion) {
  if (point.body == ground) return Vec2::Zero();
  const auto [c, s] = at(turns, point.body);
  const Vec2 arm(c * point.p_B.x() - s * point.p_B.y(), s * point.p_B.x() + c * point.p_B.y());
  return motion.segment<2>(3 * point.body) + motion[3 * point.body + 2] * Vec2(-arm.y(), arm.x());
}

double turning(int body, const Eigen::VectorXd& motion) { return body == ground ? 0 : motion[3 * body + 2]; }

/// A part with a hole at either end: its force, at two joints.
void add_ends(const Gauge& gauge, double force_n, const Eigen::VectorXd& q, const std::vector<Turn>& turns,
              const Eigen::VectorXd& motion, JointLoads& loads) {
  loads.force_n += 2 * std::abs(force_n);
  if (motion.size() == 0) return;
  const Vec2 along = position(gauge.q, q, turns) - position(gauge.p, q, turns);
  const Vec2 moves = velocity(gauge.q, turns, motion) - velocity(gauge.p, turns, motion);
  const double square = along.squaredNorm();
  const double turn = square > 0 ? (along.x() * moves.y() - along.y() * moves.x()) / square : 0;
  loads.turned_n_rad_per_mm += std::abs(force_n) * (std::abs(turn - turning(gauge.p.body, motion)) +
                                                    std::abs(turn - turning(gauge.q.body, motion)));
}

void add_pins(const Mechanism& mechanism, const Eigen::VectorXd& lambda, const Eigen::VectorXd& motion,
              JointLoads& loads) {
  const std::vector<std::vector<Vec2>> forces = pin_forces(mechanism, lambda);
  for (std::size_t p = 0; p < forces.size(); ++p) {
    const std::vector<HoleRef>& holes = mechanism.linkage->pins[p].holes;
    std::size_t tight = 0;
    for (std::size_t h = 0; h < holes.size(); ++h)
      if (holes[h].body == chassis) tight = h;
    for (std::size_t h = 0; h < holes.size(); ++h) {
      if (h == tight) continue;
      const double force_n = forces[p][h].norm();
      loads.force_n += force_n;
      if (motion.size() > 0)
        loads.turned_n_rad_per_mm +=
            force_n * std::abs(turning(holes[h].body - 1, motion) - turning(holes[tight].body - 1, motion));
    }
  }
}

void add_springs(const Mechanism& mechanism, const Eigen::VectorXd& q, const std::vector<Turn>& turns,
                 const Eigen::VectorXd& motion, JointLoads& loads) {
  for (std::size_t s = 0; s < mechanism.springs.size(); ++s) {
    const SpringElement& spring = mechanism.springs[s];
    if (spring.turns) continue;
    const GaugeReading reading = read(spring.gauge, q, turns);
    add_ends(spring.gauge, spring.count * element_force(spring, reading.value).push_n, q, turns, motion, loads);
    if (motion.size() > 0)
      loads.springs_n += spring.count * traits_of(mechanism.linkage->springs[s].data).friction_n *
                         std::abs(slope_along(spring.gauge, reading, motion));
  }
}

}  // namespace

Eigen::VectorXd tie_forces(const Mechanism& mechanism, const Closure& closure, const Eigen::VectorXd& g) {
  Eigen::VectorXd lambda = Eigen::VectorXd::Zero(static_cast<Eigen::Index>(mechanism.ties.size()));
  if (mechanism.bodies == 0) return lambda;
  if (mechanism.rank < count(mechanism.ties)) return least_squares(closure.J.transpose(), g, 1e-8);
  multipliers(closure.part, g, lambda);
  return lambda;
}

std::vector<std::vector<Vec2>> pin_forces(const Mechanism& mechanism, const Eigen::VectorXd& lambda) {
  std::vector<std::vector<Vec2>> forces;
  for (const Pin& pin : mechanism.linkage->pins) forces.emplace_back(pin.holes.size(), Vec2::Zero());
  for (std::size_t k = 0; k < mechanism.ties.size(); ++k) {
    const Tie& tie = mechanism.ties[k];
    if (tie.of != Tie::Of::pin) continue;
    // The tie pushes its second hole along its direction, and the first one back.
    std::vector<Vec2>& on = at(forces, tie.index);
    const Vec2 force = lambda[static_cast<Eigen::Index>(k)] * tie.gauge.dir;
    at(on, tie.other_hole) += force;
    on[0] -= force;
  }
  return forces;
}

JointLoads joint_loads(const Mechanism& mechanism, const Eigen::VectorXd& q, const Eigen::VectorXd& lambda,
                       const Eigen::VectorXd& motion) {
  JointLoads loads;
  const std::vector<Turn> turns = turns_at(q);
  add_pins(mechanism, lambda, motion, loads);
  for (std::size_t k = 0; k < mechanism.ties.size(); ++k) {
    const Tie& tie = mechanism.ties[k];
    const double force_n = lambda[static_cast<Eigen::Index>(k)];
    if (tie.of == Tie::Of::rod) add_ends(tie.gauge, force_n, q, turns, motion, loads);
    if (tie.of != Tie::Of::slide || motion.size() == 0) continue;
    const Slide& slide = at(mechanism.linkage->slides, tie.index);
    const Vec2 moves = velocity(body_point(*mechanism.linkage, slide.hole), turns, motion);
    loads.slid_n += std::abs(force_n) * std::abs(slide.along.dot(moves));
  }
  add_springs(mechanism, q, turns, motion, loads);
  return loads;
}

double friction_n(const Friction& friction, const JointLoads& loads) {
  const double mu = friction.pin_mu.value;
  return mu * friction.pin_radius_mm.value * loads.turned_n_rad_per_mm + mu * loads.slid_n + loads.springs_n;
}

}  // namespace ridepitch
