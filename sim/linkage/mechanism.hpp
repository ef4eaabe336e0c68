#pragma once
// A linkage made ready for solving: everything that holds, works, stops or stands, as gauges.
//
// Coordinates q are [x, y, theta] of every moving body in the chassis grid C, in file order [mm, mm, rad].

#include <string>
#include <vector>

#include "linkage/gauge.hpp"
#include "linkage/partition.hpp"
#include "model/model.hpp"
#include "spring/force_law.hpp"

namespace ridepitch {

/// An equality: the gauge reads `target`. Its multiplier is a force: on a rod, compression is positive.
struct Tie {
  enum class Of { pin, rod, slide, heading, drive, held_wheel };
  Gauge gauge;
  double target = 0;
  Of of = Of::pin;
  int index = 0;       ///< which pin, rod or slide of the linkage
  int other_hole = 0;  ///< of a pin: which of its holes is tied to its first
};

/// A spring on a gauge: `count` equal ones side by side.
struct SpringElement {
  Gauge gauge;
  ForceLaw law;
  bool turns = false;    ///< its gauge is an angle
  bool captive = false;  ///< pushes in the line of its guide, as a coil does
  int count = 1;
};

/// A one-sided bound: side * (reading - bound) >= 0.
struct Stop {
  Gauge gauge;
  double bound = 0;
  int side = 1;           ///< +1: the reading stays at or above; -1: at or below
  std::string name;       ///< "main solid", "strap max"
  bool ends_bump = true;  ///< false: a captive coil at its free length
  bool turns = false;     ///< bound on an angle [rad]
  int spring = -1;        ///< whose stop it is; -1: a limit's or slide's
};

struct WheelPoint {
  BodyPoint at;
  Gauge height;        ///< v of its centre
  Gauge sideways;      ///< u of its centre
  bool fixed = false;  ///< sits on the chassis
};

struct Mechanism {
  const Linkage* linkage = nullptr;  ///< what it was made from; must outlive it
  int bodies = 0;                    ///< moving ones
  int rank = 0;                      ///< of the ties' Jacobian, where the linkage was assembled
  double size_mm = 1;                ///< longest arm of a moving body: makes radians and mm compare
  std::vector<Tie> ties;
  std::vector<SpringElement> springs;  ///< in file order
  std::vector<Stop> stops;             ///< of springs, limits, slides, torsion springs, in file order
  std::vector<WheelPoint> wheels;
  std::vector<double> column_weight;  ///< [3 n] for the choice of pivots

  int coordinates() const { return 3 * bodies; }
  int freedoms() const { return coordinates() - rank; }
};

/// Makes a linkage ready. `hold_drive`: a drive stands at 0 and takes its freedom away.
Mechanism make_mechanism(const Linkage& linkage, bool hold_drive = true);

/// The point of a hole on its body.
BodyPoint body_point(const Linkage& linkage, HoleRef ref);

/// Push [N or N mm], stiffness and energy of one spring at a reading: push = -dE/d(reading).
inline SpringForce element_force(const SpringElement& spring, double reading) {
  return spring_force(spring.law, reading);
}

/// Energy of all `count` springs over their reading.
inline EnergyTerm spring_term(const SpringElement& spring, double reading) {
  const SpringForce force = element_force(spring, reading);
  return {spring.count * force.energy_n_mm, -spring.count * force.push_n, spring.count * force.stiffness_n_per_mm};
}

/// W -= sum lambda d2c/dq2: how the forces of the ties bend the energy along a motion that keeps them.
void add_tie_curvature(const Mechanism& mechanism, const Eigen::VectorXd& lambda, const Eigen::VectorXd& q,
                       const std::vector<Turn>& turns, Eigen::MatrixXd& W);

/// How far a stop is from being met, >= 0 within bounds [mm or rad].
inline double stop_gap(const Stop& stop, double reading) { return stop.side * (reading - stop.bound); }

}  // namespace ridepitch
