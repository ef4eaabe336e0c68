#include "ride/system.hpp"

#include <cmath>

#include "model/on_vehicle.hpp"

namespace ridepitch {
namespace {

// Height of a vehicle point and its derivatives over (h, p, r) and over the point.
struct Rise {
  double value = 0;
  Vec3 body;   // over h, p, r
  Vec3 point;  // over x, y, z
  Eigen::Matrix3d body_body;
  Eigen::Matrix3d body_point;  // rows h, p, r; columns x, y, z
};

Rise rise_of(const State& state, const Vec3& point) {
  const double sp = std::sin(state.pitch_rad), cp = std::cos(state.pitch_rad);
  const double sr = std::sin(state.roll_rad), cr = std::cos(state.roll_rad);
  const double x = point.x(), y = point.y(), z = point.z();
  const double up = sr * y + cr * z;   // as rolled
  const double out = cr * y - sr * z;  // d(up)/dr
  Rise rise;
  rise.value = state.height_mm - sp * x + cp * up;
  rise.body = Vec3(1, -cp * x - sp * up, cp * out);
  rise.point = Vec3(-sp, cp * sr, cp * cr);
  rise.body_body << 0, 0, 0, 0, sp * x - cp * up, -sp * out, 0, -sp * out, -cp * up;
  rise.body_point << 0, 0, 0, -cp, -sp * sr, -sp * cr, 0, cp * cr, -cp * sr;
  return rise;
}

// How far downhill a vehicle point lies from the vehicle's origin, along the floor; h does not move it.
Rise downhill_of(const State& state, const Vec3& point, const Vec2& down) {
  const double sp = std::sin(state.pitch_rad), cp = std::cos(state.pitch_rad);
  const double sr = std::sin(state.roll_rad), cr = std::cos(state.roll_rad);
  const double x = point.x(), y = point.y(), z = point.z();
  const double up = sr * y + cr * z, out = cr * y - sr * z;
  const double a = down.x(), b = down.y();  // of the levelled x = cp x + sp up, y = out
  Rise fall;
  fall.value = a * (cp * x + sp * up) + b * out;
  fall.body = Vec3(0, a * (-sp * x + cp * up), a * sp * out - b * up);
  fall.point = Vec3(a * cp, a * sp * sr + b * cr, a * sp * cr - b * sr);
  fall.body_body << 0, 0, 0, 0, a * (-cp * x - sp * up), a * cp * out, 0, a * cp * out, -a * sp * up - b * out;
  fall.body_point << 0, 0, 0, -a * sp, a * cp * sr, a * cp * cr, 0, a * sp * cr - b * sr, -a * sp * sr - b * cr;
  return fall;
}

// What a wheel's tyre does on a slope, N for each mm: its weight pulls its centre downhill, its share of the grip holds
// the contact, which the turning of what the wheel is fast to moves as well as the centre does.
struct Hold {
  double centre_n = 0;    // on D of its centre
  double pitch_n_mm = 0;  // on the vehicle's pitch
  double turn_n_mm = 0;   // on the vehicle's roll, and on the turn of its body in a front linkage
};

Hold hold_of(const System& system, const Tread& tread, double load_share, double total_weight_n) {
  const Slope& slope = system.slope;
  const double grip = load_share * slope.sin * total_weight_n * tread.grip_share;
  return {.centre_n = grip - load_share * slope.sin * tread.weight_n,
          .pitch_n_mm = -grip * slope.down.x() * tread.grip_arm_mm,
          .turn_n_mm = grip * slope.down.y() * slope.rolling_cos * tread.grip_arm_mm};
}

double total_weight_n(const System& system) {
  double weight = system.weight_n;
  for (const Member& member : system.members)
    for (const Tread& tread : member.treads) weight += tread.weight_n;
  return weight;
}

// Of a front linkage's body, which turns the vehicle's way about x, or against it where the linkage is flipped.
double turn_sign(const Member& member) { return member.plane == Plane::front ? member.u_sign : 0; }

/// A soft stop at a gap: what it stores, how it pushes, how much more for a little more.
struct SoftStop {
  double energy_n_mm = 0, force_n = 0, stiffness_n_per_mm = 0;
};

// It gives way easily at first, which is how Newton's method finds the stops that carry, and hardly after that: else a
// vehicle's weight would press past a stop that is met by some hundredths of a millimetre on a short part of the way.
constexpr double easy_mm = 0.002;
constexpr double times_stiffer = 1e4;

SoftStop soft_stop(const Stop& stop, double size_mm, double gap) {
  if (gap >= 0) return {};
  const double k = bound_stiffness_n_per_mm * (stop.turns ? size_mm * size_mm : 1);
  SoftStop out{0.5 * k * gap * gap, -k * gap, k};
  const double over = -gap - easy_mm / (stop.turns ? size_mm : 1);
  if (over <= 0) return out;
  const double more = times_stiffer * k;
  out.energy_n_mm += 0.5 * more * over * over;
  out.force_n += more * over;
  out.stiffness_n_per_mm += more;
  return out;
}

bool stands(const System& system, const Member& member) { return system.on_ground && member.plane != Plane::top; }

}  // namespace

Vec3 wheel_point(const Member& member, const Vec2& centre_C) {
  return member.at_mm + centre_C.x() * u_axis(member.plane, member.u_sign) + centre_C.y() * v_axis(member.plane);
}

double height_of(const State& state, const Vec3& point_mm) { return rise_of(state, point_mm).value; }

Vec3 levelled(const State& state, const Vec3& point) {
  const double sp = std::sin(state.pitch_rad), cp = std::cos(state.pitch_rad);
  const double sr = std::sin(state.roll_rad), cr = std::cos(state.roll_rad);
  const double up = sr * point.y() + cr * point.z();
  return {cp * point.x() + sp * up, cr * point.y() - sr * point.z(), -sp * point.x() + cp * up};
}

Vec2 wheel_centre(const Mechanism& mechanism, int wheel, const Eigen::VectorXd& q) {
  std::vector<Turn> turns(static_cast<std::size_t>(mechanism.bodies));
  set_turns(q, turns);
  return position(mechanism.wheels[static_cast<std::size_t>(wheel)].at, q, turns);
}

void prepare(const System& system, Work& work) {
  work.bounds.clear();
  work.members.resize(system.members.size());
  int unknowns = system.on_ground ? 3 : 0;
  for (std::size_t m = 0; m < system.members.size(); ++m) {
    const Member& member = system.members[m];
    const Mechanism& mechanism = *member.mechanism;
    auto& mine = work.members[m];
    prepare(mechanism, mine.room);
    mine.first = unknowns;
    mine.free = mechanism.freedoms();
    unknowns += mine.free;
    const Eigen::Index n = mechanism.coordinates();
    mine.T.setZero(n, mine.free);
    mine.g.setZero(n);
    mine.W.setZero(n, n);
    mine.WT.setZero(n, mine.free);
    mine.body_q.setZero(3, n);
    mine.lambda.setZero(static_cast<Eigen::Index>(mechanism.ties.size()));
    for (std::size_t i = 0; i < mechanism.stops.size(); ++i)
      work.bounds.push_back({static_cast<int>(m), static_cast<int>(i), false});
    if (!stands(system, member)) continue;
    for (std::size_t i = 0; i < mechanism.wheels.size(); ++i)
      if (!member.treads[i].tyre_rate_n_per_mm) work.bounds.push_back({static_cast<int>(m), static_cast<int>(i), true});
  }
  work.bound.assign(work.bounds.size(), {});
  work.gradient.setZero(unknowns);
  work.hessian.setZero(unknowns, unknowns);
  work.rows.setZero(static_cast<Eigen::Index>(work.bounds.size()), unknowns);
  work.scale.setOnes(unknowns);
}

double soft_energy(const System& system, const State& state, double load_share, Work& work) {
  double energy = 0;
  const bool sloping = system.on_ground && system.slope.sin != 0;
  const double all_n = sloping ? total_weight_n(system) : 0;
  if (system.on_ground) energy += load_share * system.weight_n * system.slope.cos * height_of(state, system.cg_mm);
  if (sloping)
    energy -=
        load_share * system.weight_n * system.slope.sin * downhill_of(state, system.cg_mm, system.slope.down).value;
  for (std::size_t m = 0; m < system.members.size(); ++m) {
    const Member& member = system.members[m];
    const Mechanism& mechanism = *member.mechanism;
    const Eigen::VectorXd& q = state.q[m];
    auto& turns = work.members[m].room.turns;
    set_turns(q, turns);
    for (const SpringElement& spring : mechanism.springs)
      energy += spring.count * element_force(spring, read(spring.gauge, q, turns).value).energy_n_mm;
    for (const Stop& stop : mechanism.stops) {
      const double gap = stop_gap(stop, read(stop.gauge, q, turns).value);
      energy += soft_stop(stop, mechanism.size_mm, gap).energy_n_mm;
    }
    for (std::size_t i = 0; i < mechanism.wheels.size(); ++i) {
      const Tread& tread = member.treads[i];
      const Vec2 centre = position(mechanism.wheels[i].at, q, turns);
      if (!system.on_ground) {
        energy -= load_share * tread.push_n * centre.y();
        continue;
      }
      if (!stands(system, member)) continue;
      const double H = height_of(state, wheel_point(member, centre));
      energy += load_share * tread.weight_n * system.slope.cos * H;
      const double gap = H - tread.ground_mm - tread.radius_mm;
      if (gap < 0) energy += 0.5 * tread.tyre_rate_n_per_mm.value_or(bound_stiffness_n_per_mm) * gap * gap;
      if (!sloping) continue;
      const Hold hold = hold_of(system, tread, load_share, all_n);
      const int body = mechanism.wheels[i].at.body;
      energy += hold.centre_n * downhill_of(state, wheel_point(member, centre), system.slope.down).value;
      energy += hold.pitch_n_mm * state.pitch_rad;
      energy += hold.turn_n_mm * (state.roll_rad + (body != ground ? turn_sign(member) * q[3 * body + 2] : 0));
    }
  }
  for (const BarLink& bar : system.bars) {
    const auto angle = [&](std::size_t end) {
      return state.q[static_cast<std::size_t>(bar.member[end])][3 * bar.body[end] + 2];
    };
    const double twist = angle(1) - angle(0) - bar.free_rad;
    energy += 0.5 * bar.rate_n_mm_per_rad * twist * twist;
  }
  return energy;
}

double distance_mm(const Mechanism& mechanism, const Eigen::VectorXd& a, const Eigen::VectorXd& b) {
  double far = 0;
  for (Eigen::Index i = 0; i < a.size(); ++i)
    far = std::max(far, (i % 3 == 2 ? mechanism.size_mm : 1) * std::abs(a[i] - b[i]));
  return far;
}

double distance_mm(const System& system, const State& a, const State& b) {
  double far = std::abs(a.height_mm - b.height_mm);
  for (std::size_t m = 0; m < system.members.size(); ++m)
    far = std::max(far, distance_mm(*system.members[m].mechanism, a.q[m], b.q[m]));
  return far;
}

double gap_of_stop(const System& system, const State& state, const Bound& bound, Work& work) {
  const auto m = static_cast<std::size_t>(bound.member);
  const Stop& stop = system.members[m].mechanism->stops[static_cast<std::size_t>(bound.index)];
  auto& turns = work.members[m].room.turns;
  set_turns(state.q[m], turns);
  return stop_gap(stop, read(stop.gauge, state.q[m], turns).value);
}

void evaluate(const System& system, const State& state, Bounds bounds, Work& work) {
  double energy = 0;
  work.gradient.setZero();
  work.hessian.setZero();
  work.rows.setZero();
  if (system.on_ground) {
    const Rise cg = rise_of(state, system.cg_mm);
    const double weight = work.load_share * system.weight_n * system.slope.cos;
    energy += weight * cg.value;
    work.gradient.head<3>() += weight * cg.body;
    work.hessian.topLeftCorner<3, 3>() += weight * cg.body_body;
  }
  const bool sloping = system.on_ground && system.slope.sin != 0;
  const double all_n = sloping ? total_weight_n(system) : 0;
  if (sloping) {
    const Rise fall = downhill_of(state, system.cg_mm, system.slope.down);
    const double pull = -work.load_share * system.weight_n * system.slope.sin;
    energy += pull * fall.value;
    work.gradient.head<3>() += pull * fall.body;
    work.hessian.topLeftCorner<3, 3>() += pull * fall.body_body;
  }
  // First what pushes: every member's gradient over its own coordinates, and the second derivatives but the ties'.
  std::size_t b = 0;
  for (std::size_t m = 0; m < system.members.size(); ++m) {
    const Member& member = system.members[m];
    const Mechanism& mechanism = *member.mechanism;
    auto& mine = work.members[m];
    const Eigen::VectorXd& q = state.q[m];
    if (mechanism.bodies > 0) linearise(mechanism, q, mine.room);
    const auto& turns = mine.room.turns;
    tangents(mine.room.part, mine.T);
    mine.g.setZero();
    mine.W.setZero();
    mine.body_q.setZero();
    for (const SpringElement& spring : mechanism.springs) {
      const GaugeReading reading = read(spring.gauge, q, turns);
      const SpringForce force = element_force(spring, reading.value);
      energy += spring.count * force.energy_n_mm;
      add_slope(spring.gauge, reading, -spring.count * force.push_n, mine.g);
      add_square(spring.gauge, reading, spring.count * force.stiffness_n_per_mm, mine.W);
      add_curvature(spring.gauge, reading, -spring.count * force.push_n, q, turns, mine.W);
    }
    for (const Stop& stop : mechanism.stops) {
      const GaugeReading reading = read(stop.gauge, q, turns);
      BoundState& bound = work.bound[b];
      bound.gap = stop_gap(stop, reading.value);
      double stiffness = 0;
      if (bounds == Bounds::soft) {
        const SoftStop soft = soft_stop(stop, mechanism.size_mm, bound.gap);
        bound.active = bound.gap < 0;
        bound.force = soft.force_n;
        stiffness = soft.stiffness_n_per_mm;
        energy += soft.energy_n_mm;
      }
      if (bound.force != 0) {
        add_slope(stop.gauge, reading, -bound.force * stop.side, mine.g);
        add_curvature(stop.gauge, reading, -bound.force * stop.side, q, turns, mine.W);
      }
      if (stiffness > 0) add_square(stop.gauge, reading, stiffness, mine.W);
      for (int f = 0; f < mine.free; ++f)
        work.rows(static_cast<Eigen::Index>(b), mine.first + f) =
            stop.side * slope_along(stop.gauge, reading, mine.T.col(f));
      ++b;
    }
    for (std::size_t i = 0; i < mechanism.wheels.size(); ++i) {
      const WheelPoint& wheel = mechanism.wheels[i];
      const Tread& tread = member.treads[i];
      const GaugeReading v = read(wheel.height, q, turns);
      if (!system.on_ground) {
        energy -= work.load_share * tread.push_n * v.value;
        add_slope(wheel.height, v, -work.load_share * tread.push_n, mine.g);
        add_curvature(wheel.height, v, -work.load_share * tread.push_n, q, turns, mine.W);
        continue;
      }
      if (!stands(system, member)) continue;
      const GaugeReading u = read(wheel.sideways, q, turns);
      const Rise rise = rise_of(state, wheel_point(member, Vec2(u.value, v.value)));
      const double weight = work.load_share * tread.weight_n * system.slope.cos;
      const double gap = rise.value - tread.ground_mm - tread.radius_mm;
      energy += weight * rise.value;
      double force = weight, stiffness = 0;  // dE/dH and its slope
      if (tread.tyre_rate_n_per_mm) {
        if (gap < 0) {
          stiffness = *tread.tyre_rate_n_per_mm;
          energy += 0.5 * stiffness * gap * gap;
          force += stiffness * gap;
        }
      } else {
        BoundState& bound = work.bound[b];
        bound.gap = gap;
        if (bounds == Bounds::soft) {
          bound.active = gap < 0;
          stiffness = bound.active ? bound_stiffness_n_per_mm : 0;
          bound.force = -stiffness * gap;
          energy += 0.5 * stiffness * gap * gap;
        }
        force -= bound.force;
      }
      const Vec3 du = u_axis(member.plane, member.u_sign), dv = v_axis(member.plane);
      const double H_u = rise.point.dot(du), H_v = rise.point.dot(dv);
      // A force along the rise (or the fall) of the centre, and the slope of that force.
      const auto press = [&](const Rise& along, double force_n, double stiffness_n_per_mm) {
        const double s_u = along.point.dot(du), s_v = along.point.dot(dv);
        work.gradient.head<3>() += force_n * along.body;
        work.hessian.topLeftCorner<3, 3>() +=
            force_n * along.body_body + stiffness_n_per_mm * along.body * along.body.transpose();
        add_slope(wheel.sideways, u, force_n * s_u, mine.g);
        add_slope(wheel.height, v, force_n * s_v, mine.g);
        add_curvature(wheel.sideways, u, force_n * s_u, q, turns, mine.W);
        add_curvature(wheel.height, v, force_n * s_v, q, turns, mine.W);
        if (wheel.at.body == ground) return;
        const Vec3 body_u = along.body_point * du, body_v = along.body_point * dv;
        const Eigen::Index col = 3 * wheel.at.body;
        for (Eigen::Index k = 0; k < 3; ++k) {
          const double q_u = u.slope[static_cast<std::size_t>(3 + k)], q_v = v.slope[static_cast<std::size_t>(3 + k)];
          const double s_q = s_u * q_u + s_v * q_v;
          mine.body_q.col(col + k) += force_n * (body_u * q_u + body_v * q_v) + stiffness_n_per_mm * s_q * along.body;
          if (stiffness_n_per_mm > 0)
            for (Eigen::Index l = 0; l < 3; ++l)
              mine.W(col + k, col + l) +=
                  stiffness_n_per_mm * s_q *
                  (s_u * u.slope[static_cast<std::size_t>(3 + l)] + s_v * v.slope[static_cast<std::size_t>(3 + l)]);
        }
      };
      press(rise, force, stiffness);
      if (sloping) {
        const Hold hold = hold_of(system, tread, work.load_share, all_n);
        const Rise fall = downhill_of(state, wheel_point(member, Vec2(u.value, v.value)), system.slope.down);
        energy += hold.centre_n * fall.value;
        press(fall, hold.centre_n, 0);
        energy += hold.pitch_n_mm * state.pitch_rad + hold.turn_n_mm * state.roll_rad;
        work.gradient[1] += hold.pitch_n_mm;
        work.gradient[2] += hold.turn_n_mm;
        if (wheel.at.body != ground) {
          const Eigen::Index turn = 3 * wheel.at.body + 2;
          energy += hold.turn_n_mm * turn_sign(member) * q[turn];
          mine.g[turn] += hold.turn_n_mm * turn_sign(member);
        }
      }
      if (!tread.tyre_rate_n_per_mm) {
        const auto row = static_cast<Eigen::Index>(b);
        work.rows.row(row).head<3>() = rise.body;
        for (int f = 0; f < mine.free; ++f)
          work.rows(row, mine.first + f) =
              H_u * slope_along(wheel.sideways, u, mine.T.col(f)) + H_v * slope_along(wheel.height, v, mine.T.col(f));
        ++b;
      }
    }
  }
  for (const BarLink& bar : system.bars) {
    const auto end = [&](std::size_t e) -> std::pair<std::size_t, Eigen::Index> {
      return {static_cast<std::size_t>(bar.member[e]), 3 * bar.body[e] + 2};
    };
    const auto [m0, i0] = end(0);
    const auto [m1, i1] = end(1);
    const double twist = state.q[m1][i1] - state.q[m0][i0] - bar.free_rad;
    energy += 0.5 * bar.rate_n_mm_per_rad * twist * twist;
    work.members[m1].g[i1] += bar.rate_n_mm_per_rad * twist;
    work.members[m0].g[i0] -= bar.rate_n_mm_per_rad * twist;
    work.members[m1].W(i1, i1) += bar.rate_n_mm_per_rad;
    work.members[m0].W(i0, i0) += bar.rate_n_mm_per_rad;
    for (int f = 0; f < work.members[m0].free; ++f)
      for (int k = 0; k < work.members[m1].free; ++k) {
        const double cross = -bar.rate_n_mm_per_rad * work.members[m0].T(i0, f) * work.members[m1].T(i1, k);
        work.hessian(work.members[m0].first + f, work.members[m1].first + k) += cross;
        work.hessian(work.members[m1].first + k, work.members[m0].first + f) += cross;
      }
  }
  // Then the ties: their forces balance what pushes, and bend its second derivative along the motion.
  for (std::size_t m = 0; m < system.members.size(); ++m) {
    const Mechanism& mechanism = *system.members[m].mechanism;
    auto& mine = work.members[m];
    if (mechanism.bodies == 0) continue;
    multipliers(mine.room.part, mine.g, mine.lambda);
    for (std::size_t k = 0; k < mechanism.ties.size(); ++k) {
      const double lambda = mine.lambda[static_cast<Eigen::Index>(k)];
      if (lambda == 0 || mechanism.ties[k].gauge.kind == Gauge::Kind::angle) continue;
      const Gauge& gauge = mechanism.ties[k].gauge;
      add_curvature(gauge, read(gauge, state.q[m], mine.room.turns), -lambda, state.q[m], mine.room.turns, mine.W);
    }
    if (mine.free == 0) continue;
    mine.WT.noalias() = mine.W * mine.T;
    work.gradient.segment(mine.first, mine.free).noalias() += mine.T.transpose() * mine.g;
    work.hessian.block(mine.first, mine.first, mine.free, mine.free).noalias() += mine.T.transpose() * mine.WT;
    if (system.on_ground) {
      for (Eigen::Index k = 0; k < 3; ++k)
        for (int f = 0; f < mine.free; ++f) {
          const double cross = mine.body_q.row(k).dot(mine.T.col(f));
          work.hessian(k, mine.first + f) += cross;
          work.hessian(mine.first + f, k) += cross;
        }
    }
    for (int f = 0; f < mine.free; ++f) {
      double size = 0;
      for (Eigen::Index i = 0; i < mine.T.rows(); ++i)
        size = std::max(size, std::abs(mine.T(i, f)) * (i % 3 == 2 ? mechanism.size_mm : 1));
      work.scale[mine.first + f] = size;
    }
  }
  if (system.on_ground) work.scale.head<3>() = Vec3(1, 100, 100);
  work.energy_n_mm = energy;
}

bool moved(const System& system, const State& state, const Eigen::VectorXd& step, Work& work, State& out) {
  out.height_mm = state.height_mm;
  out.pitch_rad = state.pitch_rad;
  out.roll_rad = state.roll_rad;
  if (system.on_ground) {
    out.height_mm += step[0];
    out.pitch_rad += step[1];
    out.roll_rad += step[2];
  }
  out.q.resize(state.q.size());
  for (std::size_t m = 0; m < system.members.size(); ++m) {
    auto& mine = work.members[m];
    out.q[m] = state.q[m];
    if (mine.free == 0) continue;
    out.q[m].noalias() += mine.T * step.segment(mine.first, mine.free);
    if (!close(*system.members[m].mechanism, out.q[m], mine.room)) return false;
  }
  return true;
}

double step_size_mm(const Work& work, const Eigen::VectorXd& step) {
  return step.size() ? step.cwiseProduct(work.scale).lpNorm<Eigen::Infinity>() : 0;
}

}  // namespace ridepitch
