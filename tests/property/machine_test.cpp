// What must hold for machines of every kind: rocker arms, plain arms, wishbones, walking beams, live axles, arms tied
// front to rear, with bars and tyres that give. The laws are those of statics, virtual work and geometry; spring
// energies are worked out here from Hooke's law. No expected number comes from the program.

#include <cmath>
#include <cstring>
#include <map>
#include <set>

#include <fmt/format.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "random_machine.hpp"
#include "ride/lower.hpp"
#include "ride/solve.hpp"
#include "ride/travels.hpp"
#include "ride/vehicle.hpp"

namespace ridepitch::property {
namespace {

constexpr double g = 9.80665;  // m/s2, standard gravity (CGPM 1901)

bool near(double a, double b, double share, double least = 1) {
  return std::abs(a - b) <= share * std::max(least, std::abs(b));
}

struct Drawn {
  MachineChoice choice;
  Model model;
  Solution solution;
};

// A machine that stands; one that tips over is of no use to a property.
Drawn draw_standing() {
  Drawn drawn{draw_machine(), {}, {}};
  drawn.model = machine(drawn.choice);
  SolveResult result = solve(drawn.model);
  RC_PRE(result.solution.has_value());
  drawn.solution = std::move(*result.solution);
  RC_LOG() << machine_text(drawn.choice);
  return drawn;
}

Solution solve_again(const MachineChoice& choice, const Writing& writing) {
  SolveResult result = solve(machine(choice, writing));
  RC_ASSERT(result.solution.has_value());
  return std::move(*result.solution);
}

template <class Named>
const Named& named(const std::vector<Named>& list, const std::string& name) {
  for (const Named& one : list)
    if (one.name == name) return one;
  RC_FAIL("'" + name + "' is missing");
}

const Linkage& linkage_of(const Model& model, std::size_t corner) {
  return model.linkages[static_cast<std::size_t>(model.corners[corner].linkage)];
}

// ------------------------------------------------------------------------------------------ geometry of a pose

Vec2 place(const Pose& pose, const Vec2& p_B) {
  const double c = std::cos(pose.theta_rad), s = std::sin(pose.theta_rad);
  return pose.p_CB + Vec2(c * p_B.x() - s * p_B.y(), s * p_B.x() + c * p_B.y());
}

Vec2 place(const Linkage& linkage, const std::vector<Pose>& poses, HoleRef ref) {
  return place(poses[static_cast<std::size_t>(ref.body)],
               linkage.bodies[static_cast<std::size_t>(ref.body)].holes[static_cast<std::size_t>(ref.hole)].p_B);
}

/// The world's upward direction in a corner's plane: height is h - sin(p) x + cos(p) (sin(r) y + cos(r) z).
Vec2 up_C(const Model& model, const VehicleResult& v, std::size_t corner) {
  const double p = v.pitch_deg * M_PI / 180, r = v.roll_deg * M_PI / 180;
  const double along = linkage_of(model, corner).plane == Plane::front ? std::cos(p) * std::sin(r) : -std::sin(p);
  return {(model.corners[corner].flip ? -1 : 1) * along, std::cos(p) * std::cos(r)};
}

/// A floor tilted with the model on it: which way is downhill, along the floor, x ahead and y left.
struct Tilted {
  double rad = 0;
  Vec2 down = Vec2::UnitX();
};

/// Downhill in a corner's plane: world = Ry(p) Rx(r), turned back.
Vec2 down_C(const Model& model, const VehicleResult& v, std::size_t corner, const Vec2& down) {
  const double p = v.pitch_deg * M_PI / 180, r = v.roll_deg * M_PI / 180;
  const double x = std::cos(p) * down.x();
  const double y = std::sin(p) * std::sin(r) * down.x() + std::cos(r) * down.y();
  const double z = std::sin(p) * std::cos(r) * down.x() - std::sin(r) * down.y();
  return {(model.corners[corner].flip ? -1 : 1) * (linkage_of(model, corner).plane == Plane::front ? y : x), z};
}

/// What ground and weight do to a wheel's body in its plane: a force at the wheel's centre, and a moment.
struct WheelForce {
  Vec2 force = Vec2::Zero();
  double moment = 0;
};

/// On a slope every contact force is plumb: N perpendicular to the floor and N tan(slope) uphill. Along the vehicle the chassis
/// takes the moment of the latter about the centre; across it the body that carries the wheel does.
WheelForce wheel_force(const Model& model, const Solution& solution, std::size_t corner, std::size_t wheel,
                       double own_n, const Tilted& floor) {
  const VehicleResult& v = *solution.vehicle;
  const WheelResult& result = solution.corners[corner].wheels[wheel];
  const double grip = *result.ground_load_n * std::tan(floor.rad);
  WheelForce out;
  out.force = *result.load_n * up_C(model, v, corner) +
              (own_n * std::sin(floor.rad) - grip) * down_C(model, v, corner, floor.down);
  const Linkage& linkage = linkage_of(model, corner);
  if (linkage.plane != Plane::front) return out;
  const Tyre& tyre = linkage.wheels[wheel].tyre;
  const double sunk = tyre.rate_n_per_mm ? *result.ground_load_n / *tyre.rate_n_per_mm : 0;
  out.moment = -(model.corners[corner].flip ? -1 : 1) * grip * floor.down.y() * std::cos(v.pitch_deg * M_PI / 180) *
               (tyre.diameter_mm / 2 - sunk);
  return out;
}

double own_weight_n(const MachineChoice& choice, const CornerResult& corner) {
  return (42 + choice.unsprung_grams / static_cast<double>(corner.wheels.size())) * g / 1000;
}

/// Turning moment of every bar on the bodies of a corner, by body.
std::map<int, double> bar_torques(const Model& model, const Solution& solution, std::size_t corner) {
  std::map<int, double> torque;
  for (const Bar& bar : model.bars) {
    const auto angle = [&](int end) {
      const BodyRef ref = bar.ends[static_cast<std::size_t>(end)];
      return solution.corners[static_cast<std::size_t>(ref.corner)].poses[static_cast<std::size_t>(ref.body)].theta_rad;
    };
    const double moment = bar.rate_n_mm_per_rad * (angle(1) - angle(0) - bar.free_rad);
    for (const int end : {0, 1})
      if (bar.ends[static_cast<std::size_t>(end)].corner == static_cast<int>(corner))
        torque[bar.ends[static_cast<std::size_t>(end)].body] += end == 0 ? moment : -moment;
  }
  return torque;
}

/// Whether nothing but springs, rods, pins, bars and the ground acts on a corner's bodies.
bool free_of_stops(const Linkage& linkage, const CornerResult& corner) {
  for (const WheelResult& wheel : corner.wheels)
    if (wheel.state != WheelState::riding) return false;
  for (const Spring& spring : linkage.springs)
    if (const auto* coil = std::get_if<Coil>(&spring.data)) {
      const double length = *named(corner.springs, spring.name).length_mm;
      if (length > coil->free_mm - 1e-6 || length < coil->solid_mm + 1e-6) return false;
    }
  return true;
}

// ---------------------------------------------------------------------------------------------------- properties

RC_GTEST_PROP(Machine, GroundLoadsSumToTheWeightAndTheirMomentsBalance, ()) {
  const Drawn d = draw_standing();
  const VehicleResult& v = *d.solution.vehicle;
  double sum = 0, about_y = 0, about_x = 0;
  for (std::size_t c = 0; c < d.solution.corners.size(); ++c)
    for (const WheelResult& wheel : d.solution.corners[c].wheels) {
      const double wheels = static_cast<double>(d.solution.corners[c].wheels.size());
      const double own = (42 + d.choice.unsprung_grams / wheels) * g / 1000;
      sum += *wheel.ground_load_n;
      // A wheel's own weight acts straight above its contact: only the rest has to balance the sprung mass.
      about_y += wheel.contact_mm.x() * (*wheel.ground_load_n - own);
      about_x += wheel.contact_mm.y() * (*wheel.ground_load_n - own);
    }
  const double p = v.pitch_deg * M_PI / 180, r = v.roll_deg * M_PI / 180, weight = v.mass_kg * g;
  const double x = std::cos(p) * v.cg_mm.x() + std::sin(p) * (std::sin(r) * v.cg_mm.y() + std::cos(r) * v.cg_mm.z());
  const double y = std::cos(r) * v.cg_mm.y() - std::sin(r) * v.cg_mm.z();
  RC_ASSERT(near(sum, v.total_mass_kg * g, 1e-9));
  RC_ASSERT(near(about_y, weight * x, 1e-9, weight * 100));
  RC_ASSERT(near(about_x, weight * y, 1e-9, weight * 100));
}

// Newton's first law for every moving body: pins, rods, springs, bars and wheels add up to no force and no moment.
void forces_balance_on_every_body(const Drawn& d, const Tilted& floor) {
  for (std::size_t c = 0; c < d.solution.corners.size(); ++c) {
    const CornerResult& corner = d.solution.corners[c];
    const Linkage& linkage = linkage_of(d.model, c);
    if (!free_of_stops(linkage, corner)) continue;
    std::vector<Vec2> force(linkage.bodies.size(), Vec2::Zero());
    std::vector<double> moment(linkage.bodies.size(), 0);  // about the chassis grid's origin
    double greatest = 1;
    const auto act = [&](HoleRef at, const Vec2& f) {
      const Vec2 p = place(linkage, corner.poses, at);
      force[static_cast<std::size_t>(at.body)] += f;
      moment[static_cast<std::size_t>(at.body)] += p.x() * f.y() - p.y() * f.x();
      greatest = std::max(greatest, f.norm());
    };
    const auto push_apart = [&](HoleRef from, HoleRef to, double push, double across_mm) {
      const Vec2 apart = place(linkage, corner.poses, from) - place(linkage, corner.poses, to);
      const Vec2 f = push / std::hypot(apart.norm(), across_mm) * apart;
      act(from, f);
      act(to, -f);
    };
    for (const Rod& rod : linkage.rods)
      push_apart(rod.from, rod.to, named(corner.rods, rod.name).force_n, rod.across_mm);
    for (const Spring& spring : linkage.springs) {
      const SpringResult& result = named(corner.springs, spring.name);
      if (const auto* torsion = std::get_if<Torsion>(&spring.data)) {
        moment[static_cast<std::size_t>(torsion->to)] += spring.count * *result.torque_n_mm;
        moment[static_cast<std::size_t>(torsion->from)] -= spring.count * *result.torque_n_mm;
        continue;
      }
      const double push = std::holds_alternative<Band>(spring.data) ? -*result.total_force_n : *result.total_force_n;
      push_apart(spring.from, spring.to, push, spring.across_mm);
    }
    for (const Pin& pin : linkage.pins) {
      const PinResult& result = named(corner.pins, pin.name);
      for (std::size_t h = 0; h < pin.holes.size(); ++h) act(pin.holes[h], result.forces[h].force_C_n);
    }
    for (std::size_t i = 0; i < linkage.wheels.size(); ++i) {
      const WheelForce wheel = wheel_force(d.model, d.solution, c, i, own_weight_n(d.choice, corner), floor);
      act(linkage.wheels[i].at, wheel.force);
      moment[static_cast<std::size_t>(linkage.wheels[i].at.body)] += wheel.moment;
    }
    for (const auto& [body, torque] : bar_torques(d.model, d.solution, c))
      moment[static_cast<std::size_t>(body)] += torque;
    for (std::size_t b = 1; b < linkage.bodies.size(); ++b) {
      RC_ASSERT(force[b].norm() <= 1e-8 * greatest);
      RC_ASSERT(std::abs(moment[b]) <= 1e-8 * greatest * 100);
    }
  }
}

RC_GTEST_PROP(Machine, ForcesBalanceOnEveryBody, ()) { forces_balance_on_every_body(draw_standing(), {}); }

// -------------------------------------------------------------------------------- on blocks and slopes

struct OnFloor {
  Drawn drawn;
  Floor floor;
  Tilted tilted;
  std::map<std::string, double> ground_mm;  // by wheel
};

// Blocks and dips of up to 10 mm under some wheels, and up to 15 degrees to a side.
OnFloor draw_on_floor() {
  OnFloor out{draw_standing(), {}, {}, {}};
  out.floor.explore = false;
  for (const CornerResult& corner : out.drawn.solution.corners)
    for (const WheelResult& wheel : corner.wheels) {
      const std::string name = corner.name + "/" + wheel.name;
      out.ground_mm[name] = *rc::gen::inRange(-10, 11) * *rc::gen::inRange(0, 2);
      if (out.ground_mm[name] != 0) out.floor.blocks.push_back({name, out.ground_mm[name]});
    }
  const std::pair<Toward, Vec2> sides[] = {{Toward::left, Vec2(0, 1)},
                                           {Toward::right, Vec2(0, -1)},
                                           {Toward::front, Vec2(1, 0)},
                                           {Toward::rear, Vec2(-1, 0)}};
  const auto& [toward, down] = sides[*rc::gen::inRange(0, 4)];
  out.floor.toward = toward;
  out.floor.slope_rad = *rc::gen::inRange(0, 16) * M_PI / 180;
  out.tilted = {out.floor.slope_rad, down};
  SolveResult result = solve(out.drawn.model, {.curve_points = 3, .other_stances = false, .floor = out.floor});
  RC_PRE(result.solution.has_value());
  out.drawn.solution = std::move(*result.solution);
  return out;
}

// Six conditions of balance of the whole machine but the one about the floor's normal, by any text on statics. Each tyre
// holds N tan(slope) at its contact.
RC_GTEST_PROP(OnTheFloor, GroundLoadsCarryTheWeightAndTheirMomentsBalance, ()) {
  const OnFloor on = draw_on_floor();
  const VehicleResult& v = *on.drawn.solution.vehicle;
  const double sin = std::sin(on.tilted.rad), cos = std::cos(on.tilted.rad), tan = std::tan(on.tilted.rad);
  const Vec2 down = on.tilted.down;
  double sum = 0;
  Vec2 moment = Vec2::Zero();  // about x and y of the floor, straight under the vehicle's origin
  const auto act = [&](double x, double y, double z, double along_down, double up) {
    moment += Vec2(y * up - z * along_down * down.y(), z * along_down * down.x() - x * up);
    sum += up;
  };
  for (const CornerResult& corner : on.drawn.solution.corners) {
    const Linkage& linkage =
        linkage_of(on.drawn.model, static_cast<std::size_t>(&corner - on.drawn.solution.corners.data()));
    const double own = own_weight_n(on.drawn.choice, corner);
    for (std::size_t i = 0; i < corner.wheels.size(); ++i) {
      const WheelResult& wheel = corner.wheels[i];
      const double N = *wheel.ground_load_n, ground = on.ground_mm.at(corner.name + "/" + wheel.name);
      const Tyre& tyre = linkage.wheels[i].tyre;
      const double centre_z = v.height_mm + wheel.contact_mm.z() + tyre.diameter_mm / 2 -
                              (tyre.rate_n_per_mm ? N / *tyre.rate_n_per_mm : 0);
      act(wheel.contact_mm.x(), wheel.contact_mm.y(), ground, -N * tan, N);
      act(wheel.contact_mm.x(), wheel.contact_mm.y(), centre_z, own * sin, -own * cos);
    }
  }
  const double p = v.pitch_deg * M_PI / 180, r = v.roll_deg * M_PI / 180, weight = v.mass_kg * g;
  const double up = std::sin(r) * v.cg_mm.y() + std::cos(r) * v.cg_mm.z();
  act(std::cos(p) * v.cg_mm.x() + std::sin(p) * up, std::cos(r) * v.cg_mm.y() - std::sin(r) * v.cg_mm.z(),
      v.height_mm - std::sin(p) * v.cg_mm.x() + std::cos(p) * up, weight * sin, -weight * cos);
  RC_ASSERT(std::abs(sum) <= 1e-8 * weight);
  RC_ASSERT(moment.norm() <= 1e-8 * weight * 100);
}

RC_GTEST_PROP(OnTheFloor, ForcesBalanceOnEveryBody, ()) {
  const OnFloor on = draw_on_floor();
  forces_balance_on_every_body(on.drawn, on.tilted);
}

// One wheel of a corner moved about its place at rest, the others held.
struct Moved {
  std::vector<std::vector<Pose>> poses;  // five, a step apart
  std::vector<std::vector<double>> load_n;
};

constexpr double step_mm = 0.02;

Moved move_wheel(const HeldMechanism& held, int wheel, double height_mm, const Eigen::VectorXd& rest) {
  Moved out;
  for (int k = -2; k <= 2; ++k) {
    Eigen::VectorXd q = rest;
    RC_ASSERT(place_wheel(held, wheel, height_mm + k * step_mm, q));
    std::vector<Pose> poses(1);
    for (Eigen::Index b = 0; 3 * b < q.size(); ++b) poses.push_back({Vec2(q[3 * b], q[3 * b + 1]), q[3 * b + 2]});
    out.poses.push_back(poses);
    HeldWorkspace workspace;
    HeldRates rates;
    prepare(held, workspace);
    held_rates(held, q, {}, workspace, rates);
    out.load_n.emplace_back(rates.load_n.data(), rates.load_n.data() + rates.load_n.size());
  }
  return out;
}

// Five-point difference: M. Abramowitz and I. Stegun, table 25.2; error h^4 f(5) / 30.
template <class Value>
double slope(const Value& value) {
  return (value(0) - 8 * value(1) + 8 * value(3) - value(4)) / (12 * step_mm);
}

double length_mm(const Linkage& linkage, const std::vector<Pose>& poses, const Spring& spring) {
  return std::hypot((place(linkage, poses, spring.from) - place(linkage, poses, spring.to)).norm(), spring.across_mm);
}

// Hooke's law: coil F0 s + k s^2 / 2, band k s^2 / 2 where stretched, torsion k a^2 / 2.
double spring_energy(const Linkage& linkage, const std::vector<Pose>& poses) {
  double energy = 0;
  for (const Spring& spring : linkage.springs) {
    if (const auto* torsion = std::get_if<Torsion>(&spring.data)) {
      const auto theta = [&](int body) { return poses[static_cast<std::size_t>(body)].theta_rad; };
      const double wound = std::remainder(torsion->free_rad - (theta(torsion->to) - theta(torsion->from)), 2 * M_PI);
      energy += spring.count * 0.5 * torsion->rate_n_mm_per_rad * wound * wound;
    } else if (const auto* coil = std::get_if<Coil>(&spring.data)) {
      const double s = coil->free_mm - length_mm(linkage, poses, spring);
      energy += spring.count * (coil->preload_n * s + 0.5 * coil->rate_n_per_mm * s * s);
    } else {
      const Band& band = std::get<Band>(spring.data);
      const double s = std::max(0.0, length_mm(linkage, poses, spring) - band.free_mm);
      energy += spring.count * 0.5 * band.rate_n_per_mm * s * s;
    }
  }
  return energy;
}

// Virtual work: raising one wheel of a vehicle at rest, the ground loads do what springs and bars take up. And motion
// ratios and the matrix of wheel rates are differences of solved positions.
RC_GTEST_PROP(Machine, LoadsRatesAndMotionRatiosAreDifferencesOfSolvedPositions, ()) {
  const Drawn d = draw_standing();
  for (std::size_t c = 0; c < d.solution.corners.size(); ++c) {
    const CornerResult& corner = d.solution.corners[c];
    const Linkage& linkage = linkage_of(d.model, c);
    if (!corner.wheels[0].wheel_rate_n_per_mm || !free_of_stops(linkage, corner)) continue;
    const AssembleResult assembled = assemble(linkage, d.model.module_mm);
    RC_ASSERT(assembled.assembly.has_value());
    Eigen::VectorXd rest(assembled.assembly->mechanism.coordinates());
    for (std::size_t b = 1; b < corner.poses.size(); ++b)
      rest.segment<3>(3 * static_cast<Eigen::Index>(b - 1)) << corner.poses[b].p_CB, corner.poses[b].theta_rad;
    const HeldMechanism held = hold_wheels(assembled.assembly->mechanism, rest);
    const Vec2 up = up_C(d.model, *d.solution.vehicle, c);
    const std::size_t wheels = corner.wheels.size();
    for (std::size_t i = 0; i < wheels; ++i) {
      const Moved moved = move_wheel(held, static_cast<int>(i), corner.wheels[i].centre_C_mm.y(), rest);
      const auto pose = [&](int k) -> const std::vector<Pose>& { return moved.poses[static_cast<std::size_t>(k)]; };
      double work = 0;
      for (std::size_t j = 0; j < wheels; ++j) {
        const double aside = slope([&](int k) { return place(linkage, pose(k), linkage.wheels[j].at).x(); });
        work += *corner.wheels[j].load_n * (up.x() * aside + (i == j ? up.y() : 0));
      }
      for (const auto& [body, torque] : bar_torques(d.model, d.solution, c))
        work += torque * slope([&, b = static_cast<std::size_t>(body)](int k) { return pose(k)[b].theta_rad; });
      RC_ASSERT(near(work, slope([&](int k) { return spring_energy(linkage, pose(k)); }), 1e-6));
      for (const Spring& spring : linkage.springs) {
        if (std::holds_alternative<Torsion>(spring.data)) continue;
        const double ratio = -slope([&](int k) { return length_mm(linkage, pose(k), spring); });
        RC_ASSERT(near(*named(corner.springs, spring.name).motion_ratio[i].second, ratio, 1e-6, 0.1));
      }
      for (std::size_t j = 0; j < wheels; ++j) {
        const double rate = slope([&](int k) { return moved.load_n[static_cast<std::size_t>(k)][j]; });
        RC_ASSERT(near(corner.wheel_rate_matrix_n_per_mm[j * wheels + i], rate, 1e-6, 0.1));
      }
      RC_ASSERT(*corner.wheels[i].wheel_rate_n_per_mm == corner.wheel_rate_matrix_n_per_mm[i * wheels + i]);
    }
  }
}

// --------------------------------------------------------------------------------------- the same, written otherwise

/// a / unit against b, both there or both not.
void same(const char* what, const std::optional<double>& a, const std::optional<double>& b, double unit, double share,
          double least = 1) {
  if (a.has_value() != b.has_value()) RC_FAIL(fmt::format("{}: there in one only", what));
  if (a && !near(*a / unit, *b, share, least)) RC_FAIL(fmt::format("{}: {} and {}", what, *a / unit, *b));
}

void same_corner(const CornerResult& a, const CornerResult& b, double scale, double share) {
  const double force = scale * scale * scale, rate = scale * scale;
  same("ride_height_mm", a.ride_height_mm, b.ride_height_mm, scale, share);
  same("toggle_margin_deg", a.toggle_margin_deg, b.toggle_margin_deg, 1,
       100 * share);  // found by search along the travel
  same("coil_margin_deg", a.coil_margin_deg, b.coil_margin_deg, 1, 100 * share);
  for (const WheelResult& v : b.wheels) {
    const WheelResult& w = named(a.wheels, v.name);
    RC_ASSERT(w.state == v.state);
    RC_ASSERT(w.bump_end == v.bump_end);
    RC_ASSERT(w.droop_end == v.droop_end);
    same("load_n", w.load_n, v.load_n, force, share);
    same("ground_load_n", w.ground_load_n, v.ground_load_n, force, share);
    same("travel_mm", w.travel_mm, v.travel_mm, scale, share);
    same("bump_total_mm", w.bump_total_mm, v.bump_total_mm, scale, share);
    same("bump_travel_mm", w.bump_travel_mm, v.bump_travel_mm, scale, share);
    same("bump_load_n", w.bump_load_n, v.bump_load_n, force, share);
    same("motion_ratio", w.motion_ratio, v.motion_ratio, 1, share);
    same("wheel_rate_n_per_mm", w.wheel_rate_n_per_mm, v.wheel_rate_n_per_mm, rate, share);
    same("frequency_hz", w.frequency_hz, v.frequency_hz, std::sqrt(1 / scale), share);
  }
  for (const SpringResult& v : b.springs) {
    const SpringResult& w = named(a.springs, v.name);
    same("length_mm", w.length_mm, v.length_mm, scale, share);
    same("total_force_n", w.total_force_n, v.total_force_n, force, share);
    same("torque_n_mm", w.torque_n_mm, v.torque_n_mm, force * scale, share, 10);
    for (const auto& [wheel, ratio] : v.motion_ratio)
      for (const auto& [name, other] : w.motion_ratio)
        if (name == wheel) same("motion_ratio of a spring", other, ratio, 1, share);
  }
  for (const RodResult& v : b.rods) RC_ASSERT(near(named(a.rods, v.name).force_n / force, v.force_n, share));
  for (const PinResult& v : b.pins) {
    const PinResult& w = named(a.pins, v.name);
    for (std::size_t i = 0; i < v.forces.size(); ++i) {
      RC_ASSERT(w.forces[i].body == v.forces[i].body);
      RC_ASSERT((w.forces[i].force_C_n / force - v.forces[i].force_C_n).norm() <= share * std::max(1.0, v.force_n));
    }
  }
}

std::string other_side(std::string name) {
  if (const auto at = name.find("left"); at != std::string::npos) return name.replace(at, 4, "right");
  if (const auto at = name.find("right"); at != std::string::npos) return name.replace(at, 5, "left");
  return name;
}

RC_GTEST_PROP(Machine, MovingItAlongChangesNothing, ()) {
  const Drawn d = draw_standing();
  const Solution moved = solve_again(d.choice, {.shift_x = 3});
  RC_ASSERT(near(moved.vehicle->pitch_deg, d.solution.vehicle->pitch_deg, 1e-8));
  RC_ASSERT(near(moved.vehicle->roll_deg, d.solution.vehicle->roll_deg, 1e-8));
  for (const CornerResult& corner : d.solution.corners) same_corner(named(moved.corners, corner.name), corner, 1, 1e-8);
}

RC_GTEST_PROP(Machine, ItsMirrorImageStandsAsItsMirrorImage, ()) {
  const Drawn d = draw_standing();
  const Solution image = solve_again(d.choice, {.mirrored = true});
  RC_ASSERT(near(image.vehicle->pitch_deg, d.solution.vehicle->pitch_deg, 1e-8));
  RC_ASSERT(near(image.vehicle->roll_deg, -d.solution.vehicle->roll_deg, 1e-8));
  for (const CornerResult& corner : d.solution.corners)
    same_corner(named(image.corners, other_side(corner.name)), corner, 1, 1e-8);
}

// Lengths times s, weights by s^3, rates by s^2, moments per angle by s^4: every angle stays (dimensional analysis).
RC_GTEST_PROP(Machine, ALargerCopyStandsAtTheSameAngles, ()) {
  const Drawn d = draw_standing();
  const double s = *rc::gen::element(0.7, 1.5, 2.25);
  const Solution larger = solve_again(d.choice, {.scale = s});
  RC_ASSERT(near(larger.vehicle->pitch_deg, d.solution.vehicle->pitch_deg, 1e-7));
  RC_ASSERT(near(larger.vehicle->roll_deg, d.solution.vehicle->roll_deg, 1e-7));
  for (const CornerResult& corner : d.solution.corners)
    same_corner(named(larger.corners, corner.name), corner, s, 1e-7);
  RC_ASSERT(larger.vehicle->modes.size() == d.solution.vehicle->modes.size());
  for (std::size_t i = 0; i < larger.vehicle->modes.size(); ++i)
    RC_ASSERT(
        near(larger.vehicle->modes[i].frequency_hz * std::sqrt(s), d.solution.vehicle->modes[i].frequency_hz, 1e-7));
}

RC_GTEST_PROP(Machine, ListingPartsInAnotherOrderGivesTheSameAnswer, ()) {
  const Drawn d = draw_standing();
  const Solution other = solve_again(d.choice, {.other_order = true});
  RC_ASSERT(near(other.vehicle->pitch_deg, d.solution.vehicle->pitch_deg, 1e-8));
  for (const CornerResult& corner : d.solution.corners) same_corner(named(other.corners, corner.name), corner, 1, 1e-8);
}

void same_bits(const std::optional<double>& a, const std::optional<double>& b) {
  RC_ASSERT(a.has_value() == b.has_value());
  if (a) RC_ASSERT(std::memcmp(&*a, &*b, sizeof(double)) == 0);
}

RC_GTEST_PROP(Machine, ReadingAndSolvingItAgainGivesTheSameBits, ()) {
  const Drawn d = draw_standing();
  const Solution again = solve_again(d.choice, {});
  same_bits(again.vehicle->pitch_deg, d.solution.vehicle->pitch_deg);
  for (std::size_t c = 0; c < again.corners.size(); ++c) {
    const CornerResult &a = again.corners[c], &b = d.solution.corners[c];
    same_bits(a.ride_height_mm, b.ride_height_mm);
    for (std::size_t i = 0; i < a.wheels.size(); ++i) {
      same_bits(a.wheels[i].ground_load_n, b.wheels[i].ground_load_n);
      same_bits(a.wheels[i].travel_mm, b.wheels[i].travel_mm);
      same_bits(a.wheels[i].wheel_rate_n_per_mm, b.wheels[i].wheel_rate_n_per_mm);
      same_bits(a.wheels[i].bump_load_n, b.wheels[i].bump_load_n);
    }
    for (std::size_t i = 0; i < a.pins.size(); ++i) same_bits(a.pins[i].force_n, b.pins[i].force_n);
  }
}

// ------------------------------------------------------------------------------------------------------ stability

// A ball in a bowl rolls back: from every place close by, the vehicle comes back to where it rests.
RC_GTEST_PROP(Machine, ComesBackToItsStanceFromAPlaceCloseBy, ()) {
  const MachineChoice choice = draw_machine();
  const Model model = machine(choice);
  const VehicleOrProblems built = build_vehicle(model);
  RC_ASSERT(built.vehicle.has_value());
  const Vehicle& vehicle = *built.vehicle;
  auto rest = lower(vehicle.system, vehicle.hanging, lowering_steps(vehicle, find_travels(model, vehicle, 51)));
  RC_PRE(rest.has_value());
  RC_LOG() << machine_text(choice);
  Eigen::VectorXd step(rest->work.gradient.size());
  for (Eigen::Index i = 0; i < step.size(); ++i)
    step[i] = 0.001 * *rc::gen::inRange(-10, 11) / rest->work.scale[i];  // up to 0.01 mm
  State off;
  RC_PRE(moved(vehicle.system, rest->state, step, rest->work, off));
  const auto back = come_to_rest(vehicle.system, off);
  RC_ASSERT(back.has_value());
  constexpr double same_place_mm = 1e-6;
  RC_ASSERT(std::abs(back->state.height_mm - rest->state.height_mm) < same_place_mm);
  RC_ASSERT(std::abs(back->state.pitch_rad - rest->state.pitch_rad) < same_place_mm / 100);
  RC_ASSERT(std::abs(back->state.roll_rad - rest->state.roll_rad) < same_place_mm / 100);
  for (std::size_t m = 0; m < vehicle.system.members.size(); ++m)
    for (std::size_t i = 0; i < vehicle.system.members[m].treads.size(); ++i) {
      const Mechanism& mechanism = *vehicle.system.members[m].mechanism;
      const auto centre = [&](const State& state) { return wheel_centre(mechanism, static_cast<int>(i), state.q[m]); };
      RC_ASSERT((centre(back->state) - centre(rest->state)).norm() < same_place_mm);
    }
}

// How many of the machines drawn stand, and on what: a generator that draws nothing but failures proves nothing.
TEST(RandomMachines, MostlyStandAndAreOfEveryKind) {
  std::set<Under> seen;
  int drawn = 0, standing = 0;
  rc::check([&] {
    const MachineChoice choice = draw_machine();
    ++drawn;
    if (!solve(machine(choice)).solution) return;
    ++standing;
    for (const End& end : choice.ends) seen.insert(end.under);
  });
  EXPECT_GT(standing, drawn / 2);
  if (drawn >= 60) {
    EXPECT_EQ(seen.size(), 6u);
  }
}

}  // namespace
}  // namespace ridepitch::property
