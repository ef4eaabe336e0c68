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
  bool torsion = false;
  bool coil = false;
  ForceLaw law;                  ///< of a coil or band
  double rate_n_mm_per_rad = 0;  ///< of a torsion spring
  double free_rad = 0;
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
SpringForce element_force(const SpringElement& spring, double reading);

/// How far a stop is from being met, >= 0 within bounds [mm or rad].
inline double stop_gap(const Stop& stop, double reading) { return stop.side * (reading - stop.bound); }

}  // namespace ridepitch
