// The energy of a system with its derivatives, part by part: weight, springs, stops, wheels, bars, ties.
//
// E is the energy [N mm], H the height of a wheel's centre above the floor [mm]; other letters as in system.hpp.

#include <algorithm>
#include <cmath>

#include "model/on_vehicle.hpp"
#include "ride/rise.hpp"
#include "ride/system.hpp"

namespace ridepitch {
namespace {

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

// Of a front linkage's body, which turns about x as the vehicle does, or against it where the linkage is flipped.
double turn_sign(const Member& member) { return member.plane == Plane::front ? member.u_sign : 0; }

bool slopes(const System& system) { return system.on_ground && system.slope.sin != 0; }

/// What pushes a wheel up along its travel: its load on the bench, and friction.
double push_up_n(const System& system, const Tread& tread, double load_share) {
  return (system.on_ground ? 0 : load_share * tread.push_n) + tread.friction_n;
}

bool stands(const System& system, const Member& member) { return system.on_ground && member.plane != Plane::top; }

// ------------------------------------------------------------------------------------- terms of the energy

/// E = rate/2 gap^2 of what is squeezed where a gap is under 0.
EnergyTerm squeezed(double rate, double gap) {
  return gap < 0 ? EnergyTerm{0.5 * rate * gap * gap, rate * gap, rate} : EnergyTerm{};
}

// A soft stop gives way easily at first, which is how Newton's method finds the active stops, and hardly after that: else a
// vehicle's weight would press past a stop that is met by some hundredths of a millimetre on a short part of the path.
constexpr double easy_mm = 0.002;
constexpr double times_stiffer = 1e4;

/// Of a soft stop, over its gap. A stop on an angle is as stiff as one at the end of the linkage's longest arm.
EnergyTerm soft_stop(const Stop& stop, double size_mm, double gap) {
  if (gap >= 0) return {};
  const double arm_mm = stop.turns ? size_mm : 1;
  const double k = bound_stiffness_n_per_mm * arm_mm * arm_mm;
  const EnergyTerm easy = squeezed(k, gap), hard = squeezed(times_stiffer * k, gap + easy_mm / arm_mm);
  return {easy.energy + hard.energy, easy.slope + hard.slope, easy.curvature + hard.curvature};
}

/// Of what a wheel stands on, over its gap to the ground: its tyre, or a soft bound.
EnergyTerm soft_ground(const Tread& tread, double gap) {
  return squeezed(tread.tyre_rate_n_per_mm.value_or(bound_stiffness_n_per_mm), gap);
}

/// Of a bar, over the difference of the angles of its ends.
EnergyTerm bar_term(const BarLink& bar, double angle) {
  const double k = bar.rate_n_mm_per_rad, twist = angle - bar.free_rad;
  return {0.5 * k * twist * twist, k * twist, k};
}

double end_angle(const BarLink& bar, std::size_t end, const State& state) {
  return state.q[static_cast<std::size_t>(bar.member[end])][3 * bar.body[end] + 2];
}

/// Of everything that acts inside a linkage, and of its wheels.
double soft_energy(const System& system, const State& state, std::size_t m, double load_share, double all_n,
                   std::vector<Turn>& turns) {
  const Member& member = system.members[m];
  const Mechanism& mechanism = *member.mechanism;
  const Eigen::VectorXd& q = state.q[m];
  double energy = 0;
  set_turns(q, turns);
  for (const SpringElement& spring : mechanism.springs)
    energy += spring_term(spring, read(spring.gauge, q, turns).value).energy;
  for (const Stop& stop : mechanism.stops)
    energy += soft_stop(stop, mechanism.size_mm, stop_gap(stop, read(stop.gauge, q, turns).value)).energy;
  for (std::size_t i = 0; i < mechanism.wheels.size(); ++i) {
    const Tread& tread = member.treads[i];
    const Vec2 centre = position(mechanism.wheels[i].at, q, turns);
    energy -= push_up_n(system, tread, load_share) * centre.y();
    if (!stands(system, member)) continue;
    const Vec3 point = wheel_point(member, tread, centre);
    const double H = height_of(state, point);
    energy += load_share * tread.weight_n * system.slope.cos * H;
    energy += soft_ground(tread, H - tread.ground_mm - tread.radius_mm).energy;
    if (!slopes(system)) continue;
    const Hold hold = hold_of(system, tread, load_share, all_n);
    const int body = mechanism.wheels[i].at.body;
    energy += hold.centre_n * downhill_of(state, point, system.slope.down).value + hold.pitch_n_mm * state.pitch_rad;
    energy += hold.turn_n_mm * (state.roll_rad + (body != ground ? turn_sign(member) * q[3 * body + 2] : 0));
  }
  return energy;
}

// ------------------------------------------------------------------------------ with their derivatives

/// An energy of a distance of the vehicle, as far as the body moves it.
void add_to_body(const Rise& along, const EnergyTerm& term, Work& work) {
  work.energy_n_mm += term.energy;
  work.gradient.head<3>() += term.slope * along.body;
  work.hessian.topLeftCorner<3, 3>() +=
      term.slope * along.body_body + term.curvature * along.body * along.body.transpose();
}

void add_weight(const System& system, const State& state, Work& work) {
  const double weight_n = work.load_share * system.weight_n;
  const auto add = [&](const Rise& along, double force_n) {
    add_to_body(along, {force_n * along.value, force_n, 0}, work);
  };
  add(rise_of(state, system.cg_mm), weight_n * system.slope.cos);
  if (slopes(system)) add(downhill_of(state, system.cg_mm, system.slope.down), -weight_n * system.slope.sin);
}

void add_springs(const Mechanism& mechanism, const Eigen::VectorXd& q, MemberWork& mine, Work& work) {
  const auto& turns = mine.closure.turns;
  for (const SpringElement& spring : mechanism.springs) {
    const GaugeReading reading = read(spring.gauge, q, turns);
    const EnergyTerm term = spring_term(spring, reading.value);
    work.energy_n_mm += term.energy;
    add_term(spring.gauge, reading, term, q, turns, mine.g, mine.W);
  }
}

/// What a bound does over its gap: soft ones by `soft`, exact ones by their force.
EnergyTerm bound_term(Bounds bounds, const EnergyTerm& soft, BoundState& bound) {
  if (bounds == Bounds::exact) return {0, -bound.force, 0};
  bound.active = bound.gap < 0;
  bound.force = -soft.slope;
  return soft;
}

/// @param b  index of the member's first bound; after its stops on return
void add_stops(const Mechanism& mechanism, const Eigen::VectorXd& q, Bounds bounds, std::size_t& b, MemberWork& mine,
               Work& work) {
  const auto& turns = mine.closure.turns;
  for (const Stop& stop : mechanism.stops) {
    const GaugeReading reading = read(stop.gauge, q, turns);
    BoundState& bound = work.bound[b];
    bound.gap = stop_gap(stop, reading.value);
    EnergyTerm term = bound_term(bounds, soft_stop(stop, mechanism.size_mm, bound.gap), bound);
    work.energy_n_mm += term.energy;
    term.slope *= stop.side;
    if (term.slope != 0) add_term(stop.gauge, reading, term, q, turns, mine.g, mine.W);
    for (int f = 0; f < mine.free; ++f)
      work.rows(static_cast<Eigen::Index>(b), mine.first + f) =
          stop.side * slope_along(stop.gauge, reading, mine.T.col(f));
    ++b;
  }
}

/// A wheel's centre as the linkage places it.
struct Centre {
  const WheelPoint* wheel;
  GaugeReading u, v;
  Vec3 du, dv;  ///< the vehicle's axes that u and v run along
};

/// An energy of a distance of a wheel's centre: over the body, over the linkage, and over both.
void press(const Centre& centre, const Rise& along, const EnergyTerm& term, const Eigen::VectorXd& q, MemberWork& mine,
           Work& work) {
  const auto& [wheel, u, v, du, dv] = centre;
  add_to_body(along, term, work);
  const double s_u = along.point.dot(du), s_v = along.point.dot(dv);
  // The curvature of the distance over the centre is not there: it is a plane for a given body.
  add_term(wheel->sideways, u, {0, term.slope * s_u, 0}, q, mine.closure.turns, mine.g, mine.W);
  add_term(wheel->height, v, {0, term.slope * s_v, 0}, q, mine.closure.turns, mine.g, mine.W);
  if (wheel->at.body == ground) return;
  const Vec3 body_u = along.body_point * du, body_v = along.body_point * dv;
  const Eigen::Index first = 3 * wheel->at.body;
  const auto q_u = Eigen::Map<const Vec3>(u.slope.data() + 3), q_v = Eigen::Map<const Vec3>(v.slope.data() + 3);
  const Vec3 s_q = s_u * q_u + s_v * q_v;
  for (Eigen::Index k = 0; k < 3; ++k)
    mine.body_q.col(first + k) +=
        term.slope * (body_u * q_u[k] + body_v * q_v[k]) + term.curvature * s_q[k] * along.body;
  if (term.curvature > 0) mine.W.block<3, 3>(first, first) += term.curvature * s_q * s_q.transpose();
}

/// What holds a wheel on a slope.
void add_hold(const System& system, const State& state, const Member& member, const Tread& tread, const Centre& centre,
              const Rise& fall, double all_n, const Eigen::VectorXd& q, MemberWork& mine, Work& work) {
  const Hold hold = hold_of(system, tread, work.load_share, all_n);
  press(centre, fall, {hold.centre_n * fall.value, hold.centre_n, 0}, q, mine, work);
  work.energy_n_mm += hold.pitch_n_mm * state.pitch_rad + hold.turn_n_mm * state.roll_rad;
  work.gradient[1] += hold.pitch_n_mm;
  work.gradient[2] += hold.turn_n_mm;
  if (centre.wheel->at.body == ground) return;
  const Eigen::Index turn = 3 * centre.wheel->at.body + 2;
  work.energy_n_mm += hold.turn_n_mm * turn_sign(member) * q[turn];
  mine.g[turn] += hold.turn_n_mm * turn_sign(member);
}

/// What pushes a wheel up its travel besides the ground.
void add_push(const WheelPoint& wheel, double push_n, const Eigen::VectorXd& q, MemberWork& mine, Work& work) {
  const GaugeReading v = read(wheel.height, q, mine.closure.turns);
  work.energy_n_mm -= push_n * v.value;
  add_term(wheel.height, v, {0, -push_n, 0}, q, mine.closure.turns, mine.g, mine.W);
}

/// Weight of the wheels, the ground under them and their grip. @param b  as for add_stops
void add_wheels(const System& system, const State& state, std::size_t m, Bounds bounds, double all_n, std::size_t& b,
                Work& work) {
  const Member& member = system.members[m];
  const Mechanism& mechanism = *member.mechanism;
  const Eigen::VectorXd& q = state.q[m];
  MemberWork& mine = work.members[m];
  const Vec3 du = u_axis(member.plane, member.u_sign), dv = v_axis(member.plane);
  for (std::size_t i = 0; i < mechanism.wheels.size(); ++i) {
    const WheelPoint& wheel = mechanism.wheels[i];
    const Tread& tread = member.treads[i];
    if (const double push_n = push_up_n(system, tread, work.load_share); push_n != 0)
      add_push(wheel, push_n, q, mine, work);
    if (!stands(system, member)) continue;
    const Centre centre{&wheel, read(wheel.sideways, q, mine.closure.turns), read(wheel.height, q, mine.closure.turns),
                        du, dv};
    const Vec3 point = wheel_point(member, tread, Vec2(centre.u.value, centre.v.value));
    const Rise rise = rise_of(state, point);
    const double weight = work.load_share * tread.weight_n * system.slope.cos;
    const double gap = rise.value - tread.ground_mm - tread.radius_mm;
    EnergyTerm term = soft_ground(tread, gap);
    const bool rigid = !tread.tyre_rate_n_per_mm;
    if (rigid) {
      work.bound[b].gap = gap;
      term = bound_term(bounds, term, work.bound[b]);
    }
    term.energy += weight * rise.value;
    term.slope += weight;
    press(centre, rise, term, q, mine, work);
    if (slopes(system))
      add_hold(system, state, member, tread, centre, downhill_of(state, point, system.slope.down), all_n, q, mine,
               work);
    if (!rigid) continue;
    const double H_u = rise.point.dot(du), H_v = rise.point.dot(dv);
    const auto row = static_cast<Eigen::Index>(b++);
    work.rows.row(row).head<3>() = rise.body;
    for (int f = 0; f < mine.free; ++f)
      work.rows(row, mine.first + f) = H_u * slope_along(wheel.sideways, centre.u, mine.T.col(f)) +
                                       H_v * slope_along(wheel.height, centre.v, mine.T.col(f));
  }
}

void add_bar(const BarLink& bar, const State& state, Work& work) {
  const EnergyTerm term = bar_term(bar, end_angle(bar, 1, state) - end_angle(bar, 0, state));
  work.energy_n_mm += term.energy;
  MemberWork& one = work.members[static_cast<std::size_t>(bar.member[0])];
  MemberWork& other = work.members[static_cast<std::size_t>(bar.member[1])];
  const Eigen::Index i = 3 * bar.body[0] + 2, k = 3 * bar.body[1] + 2;
  one.g[i] -= term.slope;
  other.g[k] += term.slope;
  one.W(i, i) += term.curvature;
  other.W(k, k) += term.curvature;
  for (int f = 0; f < one.free; ++f)
    for (int h = 0; h < other.free; ++h) {
      const double cross = -term.curvature * one.T(i, f) * other.T(k, h);
      work.hessian(one.first + f, other.first + h) += cross;
      work.hessian(other.first + h, one.first + f) += cross;
    }
}

/// The ties: their forces balance what pushes, and bend its second derivative along the motion.
void add_ties(const Mechanism& mechanism, const Eigen::VectorXd& q, bool on_ground, MemberWork& mine, Work& work) {
  multipliers(mine.closure.part, mine.g, mine.lambda);
  add_tie_curvature(mechanism, mine.lambda, q, mine.closure.turns, mine.W);
  if (mine.free == 0) return;
  mine.WT.noalias() = mine.W * mine.T;
  work.gradient.segment(mine.first, mine.free).noalias() += mine.T.transpose() * mine.g;
  work.hessian.block(mine.first, mine.first, mine.free, mine.free).noalias() += mine.T.transpose() * mine.WT;
  for (int f = 0; f < mine.free; ++f) {
    double size = 0;
    for (Eigen::Index i = 0; i < mine.T.rows(); ++i)
      size = std::max(size, std::abs(mine.T(i, f)) * (i % 3 == 2 ? mechanism.size_mm : 1));
    work.scale[mine.first + f] = size;
    for (Eigen::Index k = 0; on_ground && k < 3; ++k) {
      const double cross = mine.body_q.row(k).dot(mine.T.col(f));
      work.hessian(k, mine.first + f) += cross;
      work.hessian(mine.first + f, k) += cross;
    }
  }
}

// Turning the body by a radian moves its corners by some 100 mm.
const Vec3 body_scale(1, 100, 100);

}  // namespace

double soft_energy(const System& system, const State& state, double load_share, Work& work) {
  double energy = 0;
  const double weight_n = load_share * system.weight_n;
  if (system.on_ground) energy += weight_n * system.slope.cos * height_of(state, system.cg_mm);
  if (slopes(system)) energy -= weight_n * system.slope.sin * downhill_of(state, system.cg_mm, system.slope.down).value;
  const double all_n = slopes(system) ? total_weight_n(system) : 0;
  for (std::size_t m = 0; m < system.members.size(); ++m)
    energy += soft_energy(system, state, m, load_share, all_n, work.members[m].closure.turns);
  for (const BarLink& bar : system.bars)
    energy += bar_term(bar, end_angle(bar, 1, state) - end_angle(bar, 0, state)).energy;
  return energy;
}

void evaluate(const System& system, const State& state, Bounds bounds, Work& work) {
  work.energy_n_mm = 0;
  work.gradient.setZero();
  work.hessian.setZero();
  work.rows.setZero();
  if (system.on_ground) add_weight(system, state, work);
  const double all_n = slopes(system) ? total_weight_n(system) : 0;
  std::size_t b = 0;
  for (std::size_t m = 0; m < system.members.size(); ++m) {
    const Mechanism& mechanism = *system.members[m].mechanism;
    MemberWork& mine = work.members[m];
    if (mechanism.bodies > 0) linearise(mechanism, state.q[m], mine.closure);
    tangents(mine.closure.part, mine.T);
    mine.g.setZero();
    mine.W.setZero();
    mine.body_q.setZero();
    add_springs(mechanism, state.q[m], mine, work);
    add_stops(mechanism, state.q[m], bounds, b, mine, work);
    add_wheels(system, state, m, bounds, all_n, b, work);
  }
  for (const BarLink& bar : system.bars) add_bar(bar, state, work);
  for (std::size_t m = 0; m < system.members.size(); ++m) {
    const Mechanism& mechanism = *system.members[m].mechanism;
    if (mechanism.bodies > 0) add_ties(mechanism, state.q[m], system.on_ground, work.members[m], work);
  }
  if (system.on_ground) work.scale.head<3>() = body_scale;
}

}  // namespace ridepitch
