#include <algorithm>
#include <cmath>
#include <optional>

#include "programme.hpp"

namespace ridepitch::oracle {
namespace {

constexpr double first_stiffness = 1e3;   // N/mm, of the augmented constraints: far above any spring here
constexpr double last_stiffness = 1e6;    // beyond it, rounding spoils the Newton steps
constexpr double longest_step_mm = 2.0;   // short enough not to jump into another assembly
constexpr double carries_force_n = 1e-6;  // a stop with less is not held while polishing

Jet evaluated(const Programme& programme, const Term& term, const Vector& x) {
  Jets locals(term.variables.size());
  for (std::size_t i = 0; i < locals.size(); ++i) {
    const int variable = term.variables[i];
    locals[i].value = programme.unit[variable] * x[variable];
    locals[i].slope[i] = programme.unit[variable];
  }
  return term.of(locals);
}

struct Merit {
  double value = 0;
  Vector slope;
  Matrix bend;
};

// Adds first * d(term) and first * d2(term) + second * d(term) d(term)^T.
void add(Merit& merit, const Term& term, const Jet& jet, double first, double second) {
  const int n = static_cast<int>(term.variables.size());
  for (int i = 0; i < n; ++i) {
    const int row = term.variables[i];
    merit.slope[row] += first * jet.slope[i];
    for (int j = 0; j < n; ++j) {
      merit.bend(row, term.variables[j]) += first * jet.bend[Jet::pair(i, j)] + second * jet.slope[i] * jet.slope[j];
    }
  }
}

// The augmented Lagrangian with its derivatives.
Merit merit_at(const Programme& p, const Vector& x, const Vector& equal_force, const Vector& stop_force,
               double stiffness) {
  const int n = static_cast<int>(x.size());
  Merit merit{0, Vector(n, 0.0), Matrix(n, n)};
  for (const Term& term : p.energy) {
    const Jet e = evaluated(p, term, x);
    merit.value += e.value;
    add(merit, term, e, 1, 0);
  }
  for (std::size_t k = 0; k < p.equal.size(); ++k) {
    const Jet c = evaluated(p, p.equal[k], x);
    merit.value += (-equal_force[k] + stiffness / 2 * c.value) * c.value;
    add(merit, p.equal[k], c, stiffness * c.value - equal_force[k], stiffness);
  }
  for (std::size_t k = 0; k < p.stops.size(); ++k) {
    const Jet g = evaluated(p, p.stops[k].gap, x);
    if (stop_force[k] - stiffness * g.value > 0) {
      merit.value += (-stop_force[k] + stiffness / 2 * g.value) * g.value;
      add(merit, p.stops[k].gap, g, stiffness * g.value - stop_force[k], stiffness);
    } else {
      merit.value -= stop_force[k] * stop_force[k] / (2 * stiffness);
    }
  }
  return merit;
}

struct Step {
  Vector s;
  double predicted = 0;  ///< by how much the quadratic model falls
};

// The step of the shifted Newton system that stays within the radius.
Step trust_region_step(const Merit& merit, double radius) {
  constexpr double least_shift = 1e-7;
  Vector downhill = merit.slope;
  for (double& entry : downhill) entry = -entry;
  for (double shift = least_shift;; shift *= 4) {
    const std::optional<Vector> s = solve_if_definite(merit.bend, shift, downhill);
    if (s && greatest(*s) <= radius) {
      return {*s, dot(downhill, *s) - 0.5 * dot(*s, product(merit.bend, *s))};
    }
  }
}

// At a stationary point that is not a least one: a small step along the most negative curvature.
std::optional<Vector> escape(const Matrix& bend) {
  constexpr double clearly_negative = -1e-6, nudge_mm = 0.02;
  const EigenPairs e = eigen_symmetric(bend);
  if (e.values.empty() || e.values.front() > clearly_negative) return std::nullopt;
  Vector s(e.values.size());
  for (std::size_t i = 0; i < s.size(); ++i) s[i] = nudge_mm * e.vectors(static_cast<int>(i), 0);
  return s;
}

Vector sum(const Vector& a, const Vector& b) {
  Vector c = a;
  for (std::size_t i = 0; i < c.size(); ++i) c[i] += b[i];
  return c;
}

void descend(const Programme& p, Vector& x, const Vector& equal_force, const Vector& stop_force, double stiffness) {
  constexpr double flat_n = 1e-9;
  double radius = longest_step_mm;
  Merit here = merit_at(p, x, equal_force, stop_force, stiffness);
  for (int round = 0; round < 2000 && radius > 1e-13; ++round) {
    if (greatest(here.slope) < flat_n) {
      const std::optional<Vector> away = escape(here.bend);
      if (!away) return;
      x = sum(x, *away);
      here = merit_at(p, x, equal_force, stop_force, stiffness);
      continue;
    }
    const Step step = trust_region_step(here, radius);
    const Vector next = sum(x, step.s);
    Merit there = merit_at(p, next, equal_force, stop_force, stiffness);
    const double fallen = here.value - there.value;
    const bool below_rounding = step.predicted < 1e-11 * (1 + std::abs(here.value));
    const bool better = below_rounding ? greatest(there.slope) < greatest(here.slope) : fallen > 1e-4 * step.predicted;
    if (!better) {
      radius = 0.25 * greatest(step.s);
      if (below_rounding && radius < 1e-9) return;
      continue;
    }
    if (fallen > 0.75 * step.predicted) radius = std::min(longest_step_mm, 2 * radius);
    x = next;
    here = std::move(there);
  }
}

std::vector<int> stops_under_force(const Vector& stop_force) {
  std::vector<int> held;
  for (std::size_t k = 0; k < stop_force.size(); ++k) {
    if (stop_force[k] > carries_force_n) held.push_back(static_cast<int>(k));
  }
  return held;
}

// Small steps alone do not prove an answer: a step that leaves a singular direction out is small as well.
bool keeps_its_equalities(const Programme& p, const Point& point) {
  return std::ranges::all_of(p.equal, [&](const Term& c) { return std::abs(value(p, c, point.x)) < 1e-9; });
}

// Newton on the stationary point with these stops held shut; false if it does not close in.
bool newton(const Programme& p, Point& point, const std::vector<int>& held) {
  const int n = static_cast<int>(point.x.size());
  const int equals = static_cast<int>(p.equal.size());
  const int m = equals + static_cast<int>(held.size());
  double last = std::numeric_limits<double>::infinity();
  Point best = point;
  for (int round = 0; round < 40; ++round) {
    std::vector<Term> active = p.equal;
    for (const int k : held) active.push_back(p.stops[k].gap);
    const Matrix A = jacobian(p, active, point.x);
    const Matrix H = lagrangian_bend(p, point);
    const Vector slope = gradient(p, p.energy, point.x);
    // Near a dead point forces grow without bound and the bends with them: taken in units of the greatest.
    const double unit = std::max(1.0, greatest(H.entries));
    Matrix kkt(n + m, n + m);
    Vector rhs(n + m);
    for (int r = 0; r < n; ++r) {
      for (int c = 0; c < n; ++c) kkt(r, c) = H(r, c) / unit;
      for (int k = 0; k < m; ++k) {
        kkt(r, n + k) = -A(k, r);
        kkt(n + k, r) = A(k, r);
      }
      rhs[r] = -slope[r] / unit;
    }
    for (int k = 0; k < m; ++k) rhs[n + k] = -value(p, active[k], point.x);
    const Vector solution = least_squares(kkt, rhs, 1e-8);
    double step = 0;
    for (int i = 0; i < n; ++i) {
      point.x[i] += solution[i];
      step = std::max(step, std::abs(solution[i]));
    }
    for (int k = 0; k < equals; ++k) point.equal_force[k] = unit * solution[n + k];
    std::fill(point.stop_force.begin(), point.stop_force.end(), 0.0);
    for (std::size_t k = 0; k < held.size(); ++k) point.stop_force[held[k]] = unit * solution[n + equals + k];
    if (!(step < 50)) return false;
    if (step < 1e-6 && step >= 0.5 * last) {  // rounding is all that is left
      point = best;
      return last < 1e-9 && keeps_its_equalities(p, point);
    }
    last = step;
    best = point;
    if (step < 1e-14) break;
  }
  return last < 1e-9 && keeps_its_equalities(p, point);
}

double violation(const Programme& p, const Point& point, double stiffness) {
  double worst = 0;
  for (const Term& term : p.equal) worst = std::max(worst, std::abs(value(p, term, point.x)));
  for (std::size_t k = 0; k < p.stops.size(); ++k) {
    worst = std::max(worst, std::abs(std::min(value(p, p.stops[k].gap, point.x), point.stop_force[k] / stiffness)));
  }
  return worst;
}

// Polishes, correcting the guess of which stops carry force.
bool polish_with_stops(const Programme& p, Point& point) {
  const Point rough = point;
  std::vector<int> held = stops_under_force(point.stop_force);
  for (int round = 0; round < 12; ++round) {
    Point trial = rough;
    if (!newton(p, trial, held)) return false;
    std::optional<int> change;
    double worst = 1e-9;
    for (std::size_t k = 0; k < p.stops.size(); ++k) {
      const bool is_held = std::ranges::find(held, static_cast<int>(k)) != held.end();
      // Where many stops share one load their forces are open, and a negative one of them means nothing:
      // the rough solution, which kept them positive, is the judge.
      const double wrong =
          is_held ? (rough.stop_force[k] > 1e-4 ? 0 : -trial.stop_force[k]) : -value(p, p.stops[k].gap, trial.x);
      if (wrong > worst) {
        worst = wrong;
        change = static_cast<int>(k);
      }
    }
    if (!change) {
      point = trial;
      return true;
    }
    const auto at = std::ranges::find(held, *change);
    if (at == held.end()) {
      held.push_back(*change);
    } else {
      held.erase(at);
    }
  }
  return false;
}

}  // namespace

double value(const Programme& programme, const Term& term, const Vector& x) {
  return evaluated(programme, term, x).value;
}

Vector gradient(const Programme& programme, const Term& term, const Vector& x) {
  return gradient(programme, std::vector<Term>{term}, x);
}

Vector gradient(const Programme& programme, const std::vector<Term>& terms, const Vector& x) {
  Vector slope(x.size(), 0.0);
  for (const Term& term : terms) {
    const Jet jet = evaluated(programme, term, x);
    for (std::size_t i = 0; i < term.variables.size(); ++i) slope[term.variables[i]] += jet.slope[i];
  }
  return slope;
}

Matrix jacobian(const Programme& programme, const std::vector<Term>& terms, const Vector& x) {
  Matrix J(static_cast<int>(terms.size()), static_cast<int>(x.size()));
  for (int k = 0; k < J.rows; ++k) {
    const Jet jet = evaluated(programme, terms[k], x);
    for (std::size_t i = 0; i < terms[k].variables.size(); ++i) J(k, terms[k].variables[i]) += jet.slope[i];
  }
  return J;
}

Matrix lagrangian_bend(const Programme& p, const Point& point) {
  const int n = static_cast<int>(point.x.size());
  Merit sum_of{0, Vector(n, 0.0), Matrix(n, n)};
  for (const Term& term : p.energy) add(sum_of, term, evaluated(p, term, point.x), 1, 0);
  for (std::size_t k = 0; k < p.equal.size(); ++k) {
    add(sum_of, p.equal[k], evaluated(p, p.equal[k], point.x), -point.equal_force[k], 0);
  }
  for (std::size_t k = 0; k < p.stops.size(); ++k) {
    if (point.stop_force[k] == 0) continue;
    add(sum_of, p.stops[k].gap, evaluated(p, p.stops[k].gap, point.x), -point.stop_force[k], 0);
  }
  return sum_of.bend;
}

Point minimise(const Programme& p, const Point& start) {
  Point point = start;
  point.equal_force.resize(p.equal.size(), 0.0);
  point.stop_force.resize(p.stops.size(), 0.0);
  point.solved = false;
  double stiffness = first_stiffness, last = std::numeric_limits<double>::infinity();
  for (int round = 0; round < 40; ++round) {
    descend(p, point.x, point.equal_force, point.stop_force, stiffness);
    const double off = violation(p, point, stiffness);
    for (std::size_t k = 0; k < p.equal.size(); ++k) {
      point.equal_force[k] -= stiffness * value(p, p.equal[k], point.x);
    }
    for (std::size_t k = 0; k < p.stops.size(); ++k) {
      point.stop_force[k] = std::max(0.0, point.stop_force[k] - stiffness * value(p, p.stops[k].gap, point.x));
    }
    if (off < 1e-10) break;
    if (off > 0.25 * last) {
      if (stiffness == last_stiffness) break;  // nothing fits here
      stiffness = std::min(last_stiffness, 4 * stiffness);
    }
    last = off;
  }
  if (violation(p, point, stiffness) > 1e-6) return point;
  point.solved = polish_with_stops(p, point);
  return point;
}

Point polish(const Programme& p, const Point& start) {
  Point point = start;
  point.equal_force.resize(p.equal.size(), 0.0);
  point.stop_force.resize(p.stops.size(), 0.0);
  point.solved = polish_with_stops(p, point);
  return point;
}

}  // namespace ridepitch::oracle
