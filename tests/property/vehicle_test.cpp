// What must hold for every vehicle, whatever it is made of. The laws are those of mechanics (statics, virtual work,
// energy) and of geometry: no expected number comes from the program.

#include <cmath>
#include <cstring>
#include <map>

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "random_vehicle.hpp"
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
  VehicleChoice choice;
  Model model;
  Solution solution;
};

// A vehicle that goes together and stands; others are of no use to a property.
Drawn draw_standing() {
  Drawn drawn{draw_vehicle(), {}, {}};
  drawn.model = vehicle(drawn.choice);
  SolveResult result = solve(drawn.model);
  RC_PRE(result.solution.has_value());
  drawn.solution = std::move(*result.solution);
  return drawn;
}

Solution solve_again(const VehicleChoice& choice, const Writing& writing) {
  SolveResult result = solve(vehicle(choice, writing));
  RC_ASSERT(result.solution.has_value());
  return std::move(*result.solution);
}

const CornerResult& corner_named(const Solution& solution, const std::string& name) {
  for (const CornerResult& corner : solution.corners)
    if (corner.name == name) return corner;
  RC_FAIL("a corner is missing");
}

// Everything a builder reads of a wheel, lengths divided by `length`, forces by `force`.
void same_corner(const CornerResult& a, const CornerResult& b, double length, double force, double share) {
  const WheelResult &w = a.wheels[0], &v = b.wheels[0];
  RC_ASSERT(near(*a.ride_height_mm / length, *b.ride_height_mm, share));
  RC_ASSERT(near(*w.ground_load_n / force, *v.ground_load_n, share));
  RC_ASSERT(near(*w.travel_mm / length, *v.travel_mm, share));
  RC_ASSERT(near(*w.bump_total_mm / length, *v.bump_total_mm, share));
  RC_ASSERT(near(*w.wheel_rate_n_per_mm / force * length, *v.wheel_rate_n_per_mm, share));
  RC_ASSERT(near(*w.motion_ratio, *v.motion_ratio, share));
  RC_ASSERT(w.state == v.state);
  RC_ASSERT(near(*a.springs[0].force_n / force, *b.springs[0].force_n, share));
  for (std::size_t i = 0; i < a.pins.size(); ++i) {
    for (std::size_t k = 0; k < b.pins.size(); ++k)
      if (a.pins[i].name == b.pins[k].name) RC_ASSERT(near(a.pins[i].force_n / force, b.pins[k].force_n, share));
  }
}

RC_GTEST_PROP(Vehicle, GroundLoadsSumToTheWeightAndTheirMomentsBalance, ()) {
  const Drawn d = draw_standing();
  const VehicleResult& v = *d.solution.vehicle;
  double sum = 0, about_y = 0, about_x = 0;
  for (const CornerResult& corner : d.solution.corners)
    for (const WheelResult& wheel : corner.wheels) {
      sum += *wheel.ground_load_n;
      // Each wheel's own weight stands straight above its contact: only the rest has to balance the sprung mass.
      const double own = *wheel.ground_load_n > 0 ? *wheel.ground_load_n - *wheel.load_n : (42 + 35) * g / 1000;
      about_y += wheel.contact_mm.x() * (*wheel.ground_load_n - own);
      about_x += wheel.contact_mm.y() * (*wheel.ground_load_n - own);
    }
  const double p = v.pitch_deg * M_PI / 180, r = v.roll_deg * M_PI / 180;
  const double x = std::cos(p) * v.cg_mm.x() + std::sin(p) * (std::sin(r) * v.cg_mm.y() + std::cos(r) * v.cg_mm.z());
  const double y = std::cos(r) * v.cg_mm.y() - std::sin(r) * v.cg_mm.z();
  const double weight = v.mass_kg * g;
  RC_ASSERT(near(sum, v.total_mass_kg * g, 1e-9));
  RC_ASSERT(near(about_y, weight * x, 1e-9, weight * 100));
  RC_ASSERT(near(about_x, weight * y, 1e-9, weight * 100));
}

RC_GTEST_PROP(Vehicle, MovingItAlongChangesNothing, ()) {
  const Drawn d = draw_standing();
  const Solution moved = solve_again(d.choice, {.shift_x = 3});
  RC_ASSERT(near(moved.vehicle->pitch_deg, d.solution.vehicle->pitch_deg, 1e-8));
  for (std::size_t c = 0; c < 4; ++c) {
    // Heights of points that moved along with it are the same.
    same_corner(moved.corners[c], d.solution.corners[c], 1, 1, 1e-8);
  }
}

RC_GTEST_PROP(Vehicle, ItsMirrorImageStandsAsItsMirrorImage, ()) {
  const Drawn d = draw_standing();
  const Solution image = solve_again(d.choice, {.mirrored = true});
  RC_ASSERT(near(image.vehicle->pitch_deg, d.solution.vehicle->pitch_deg, 1e-8));
  RC_ASSERT(near(image.vehicle->roll_deg, -d.solution.vehicle->roll_deg, 1e-8));
  for (const auto& [one, other] : {std::pair{"front left", "front right"}, std::pair{"rear left", "rear right"}}) {
    same_corner(corner_named(image, one), corner_named(d.solution, other), 1, 1, 1e-8);
    same_corner(corner_named(image, other), corner_named(d.solution, one), 1, 1, 1e-8);
  }
}

// Lengths times s, weights by s^3 and rates by s^2: every force grows by s^3 and every angle stays (Froude's scaling
// of statics: dimensional analysis).
RC_GTEST_PROP(Vehicle, ALargerCopyStandsAtTheSameAngles, ()) {
  const Drawn d = draw_standing();
  const double s = 1.5;
  const Solution larger = solve_again(d.choice, {.scale = s});
  RC_ASSERT(near(larger.vehicle->pitch_deg, d.solution.vehicle->pitch_deg, 1e-7));
  for (std::size_t c = 0; c < 4; ++c) same_corner(larger.corners[c], d.solution.corners[c], s, s * s * s, 1e-7);
  for (std::size_t i = 0; i < d.solution.vehicle->modes.size(); ++i)
    RC_ASSERT(
        near(larger.vehicle->modes[i].frequency_hz * std::sqrt(s), d.solution.vehicle->modes[i].frequency_hz, 1e-7));
}

RC_GTEST_PROP(Vehicle, ListingPartsInAnotherOrderGivesTheSameAnswer, ()) {
  const Drawn d = draw_standing();
  const Solution other = solve_again(d.choice, {.other_order = true});
  RC_ASSERT(near(other.vehicle->pitch_deg, d.solution.vehicle->pitch_deg, 1e-9));
  for (const CornerResult& corner : d.solution.corners)
    same_corner(corner_named(other, corner.name), corner, 1, 1, 1e-9);
}

RC_GTEST_PROP(Vehicle, SolvingItAgainGivesTheSameBits, ()) {
  const Drawn d = draw_standing();
  const SolveResult again = solve(d.model);
  RC_ASSERT(again.solution.has_value());
  for (std::size_t c = 0; c < 4; ++c) {
    const WheelResult &a = again.solution->corners[c].wheels[0], &b = d.solution.corners[c].wheels[0];
    for (const auto& [x, y] :
         {std::pair{a.ground_load_n, b.ground_load_n}, std::pair{a.travel_mm, b.travel_mm},
          std::pair{a.wheel_rate_n_per_mm, b.wheel_rate_n_per_mm}, std::pair{a.bump_load_n, b.bump_load_n}})
      RC_ASSERT(x.has_value() == y.has_value() && (!x || std::memcmp(&*x, &*y, sizeof(double)) == 0));
  }
}

double spring_energy(const Mechanism& mechanism, const Eigen::VectorXd& q) {
  std::vector<Turn> turns(static_cast<std::size_t>(mechanism.bodies));
  set_turns(q, turns);
  double energy = 0;
  for (const SpringElement& spring : mechanism.springs)
    energy += spring.count * element_force(spring, read(spring.gauge, q, turns).value).energy_n_mm;
  return energy;
}

double spring_length(const Mechanism& mechanism, const Eigen::VectorXd& q) {
  std::vector<Turn> turns(static_cast<std::size_t>(mechanism.bodies));
  set_turns(q, turns);
  return read(mechanism.springs[0].gauge, q, turns).value;
}

// Load = dE/dz, motion ratio = -dL/dz, wheel rate = d2E/dz2, each by a five-point difference of solved positions
// (M. Abramowitz and I. Stegun, table 25.2; error h^4 f(5) / 30).
RC_GTEST_PROP(Travel, LoadRateAndMotionRatioAreDifferencesOfSolvedPositions, ()) {
  const Drawn d = draw_standing();
  const auto built = build_vehicle(d.model);
  RC_ASSERT(built.vehicle.has_value());
  const auto travels = find_travels(d.model, *built.vehicle, 21);
  const Travel& travel = *travels[0].alone;
  RC_PRE(travel.curve.points.back().travel_mm > 2.0);
  const std::size_t i = *rc::gen::inRange<std::size_t>(2, 17);
  const CurvePoint& point = travel.curve.points[i];
  const double z = travel.droop_height_mm + point.travel_mm, h = 0.02;
  double energy[5], length[5], load[5];
  for (int k = -2; k <= 2; ++k) {
    Eigen::VectorXd q(travel.held.mechanism.coordinates());
    for (std::size_t b = 0; b < travel.curve.poses[i].size(); ++b)
      q.segment<3>(3 * static_cast<Eigen::Index>(b)) << travel.curve.poses[i][b].p_CB,
          travel.curve.poses[i][b].theta_rad;
    RC_ASSERT(place_wheel(travel.held, 0, z + k * h, q));
    energy[k + 2] = spring_energy(travel.held.mechanism, q);
    length[k + 2] = spring_length(travel.held.mechanism, q);
    WheelFollower follower = follow_wheel(travel.held, 0, q);
    read_off(follower);
    load[k + 2] = load_n(follower);
  }
  const auto slope = [h](const double* f) { return (f[0] - 8 * f[1] + 8 * f[3] - f[4]) / (12 * h); };
  RC_ASSERT(near(slope(energy), point.load_n, 1e-6));
  RC_ASSERT(near(-slope(length), point.spring_motion_ratio[0], 1e-6, 0.1));
  RC_ASSERT(near(slope(load), point.wheel_rate_n_per_mm, 1e-6, 0.1));
}

// The wheel rate splits into k MR^2 + F dMR/dz (docs/theory.md, "Wheel rate"), dMR/dz by a difference.
RC_GTEST_PROP(Travel, WheelRateIsStiffnessAndGeometryTogether, ()) {
  const Drawn d = draw_standing();
  const auto built = build_vehicle(d.model);
  const auto travels = find_travels(d.model, *built.vehicle, 401);
  const auto& points = travels[0].alone->curve.points;
  RC_PRE(points.back().travel_mm > 2.0);
  const std::size_t i = *rc::gen::inRange<std::size_t>(20, 300);
  const double dz = points[1].travel_mm - points[0].travel_mm;
  const double slope = (points[i - 2].spring_motion_ratio[0] - 8 * points[i - 1].spring_motion_ratio[0] +
                        8 * points[i + 1].spring_motion_ratio[0] - points[i + 2].spring_motion_ratio[0]) /
                       (12 * dz);
  const double ratio = points[i].spring_motion_ratio[0];
  const double rate = d.choice.count * (d.choice.rate_n_per_mm * ratio * ratio + points[i].spring_force_n[0] * slope);
  RC_ASSERT(near(rate, points[i].wheel_rate_n_per_mm, 1e-5, 0.1));
}

}  // namespace
}  // namespace ridepitch::property
