#pragma once
// Least potential energy under equalities and stops, by brute force.
//
//     minimise E(x)   subject to   c_k(x) = 0,   g_k(x) >= 0
//
// Stage one is an augmented Lagrangian (Hestenes, Powell; for the stops Rockafellar) whose inner
// problem is minimised by a trust-region Newton method that leaves saddles along their negative
// curvature; it goes downhill from where it starts, in short steps. Stage two polishes with Newton's
// method on the conditions of Karush, Kuhn and Tucker with the stops that carry force.
// Source: J. Nocedal and S. J. Wright, Numerical Optimization (2nd ed.), ch. 4, 12, 17 (from memory).

#include <functional>
#include <string>
#include <vector>

#include "jet.hpp"
#include "linear.hpp"

namespace ridepitch::oracle {

using Jets = std::vector<Jet>;

/// A scalar function of a few of the programme's variables.
struct Term {
  std::vector<int> variables;  ///< at most Jet::slots
  std::function<Jet(const Jets&)> of;
};

struct Stop {
  Term gap;  ///< >= 0 [mm, or rad]
  std::string name;
};

/// Variables are lengths; angles enter as lengths too: angle = unit * variable.
struct Programme {
  Vector unit;  ///< what one unit of each variable is worth: 1 [mm] or so many rad
  std::vector<Term> energy, equal;
  std::vector<Stop> stops;
};

struct Point {
  Vector x;
  Vector equal_force;  ///< multiplier of each equality: dE*/dc
  Vector stop_force;   ///< multiplier of each stop, >= 0
  bool solved = false;
};

/// Follows the energy down from `start.x` (its forces, if given, warm the search) to a least point.
Point minimise(const Programme& programme, const Point& start);

/// Newton only, with `start`'s stops that carry force held: for a start next to the answer. Not solved if it strays.
Point polish(const Programme& programme, const Point& start);

// ----------------------------------------------------------------- values and derivatives

double value(const Programme& programme, const Term& term, const Vector& x);

/// Gradient in the programme's variables.
Vector gradient(const Programme& programme, const Term& term, const Vector& x);
Vector gradient(const Programme& programme, const std::vector<Term>& terms, const Vector& x);

/// Rows: gradients of these terms.
Matrix jacobian(const Programme& programme, const std::vector<Term>& terms, const Vector& x);

/// Second derivative of E - sum of forces times equalities and stops.
Matrix lagrangian_bend(const Programme& programme, const Point& point);

}  // namespace ridepitch::oracle
