#include "linkage/assemble.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <random>

#include <fmt/format.h>

#include "linkage/closure.hpp"
#include "linkage/dense.hpp"
#include "linkage/two_bar.hpp"
#include "linkage/walk.hpp"

namespace ridepitch {
namespace {

constexpr int random_starts = 40;
constexpr int samples_of_one = 48;        // of one input, over a whole turn or four times the linkage's size
constexpr int samples_of_two = 20;        // of each of two inputs
constexpr std::size_t most_planned_steps = 7;
constexpr double longest_gain_modules = 2.0;
constexpr double rank_threshold = 1e-8;
constexpr double together_mm = 1e-7;     // a residual under it is rounding, not a gap
constexpr double same_place_modules = 0.05;
constexpr double as_near_modules = 0.01;

// ---------------------------------------------------------------------------------- guesses

// A repeatable sequence of guesses: the same bits everywhere, unlike the standard distributions.
struct Guesses {
  std::mt19937 engine{7u};
  double uniform(double low, double high) {
    return low + (high - low) * (static_cast<double>(engine()) / 4294967295.0);
  }
};

double angle_of(const Vec2& v) { return std::atan2(v.y(), v.x()); }

void put(Eigen::VectorXd& q, int body, double theta, const Vec2& p_B, const Vec2& p_C) {
  const double c = std::cos(theta), s = std::sin(theta);
  q[3 * body] = p_C.x() - (c * p_B.x() - s * p_B.y());
  q[3 * body + 1] = p_C.y() - (s * p_B.x() + c * p_B.y());
  q[3 * body + 2] = theta;
}

Vec2 place_of(const Linkage& linkage, HoleRef ref, const Eigen::VectorXd& q) {
  const BodyPoint point = body_point(linkage, ref);
  std::vector<Turn> turns(static_cast<std::size_t>(q.size() / 3));
  set_turns(q, turns);
  return position(point, q, turns);
}

// The angle of a body that sits with p_B at p_C, as its hints would have it; a guess where it has none.
double hinted_angle(const Body& body, const Vec2& p_B, const Vec2& p_C, bool use_hints, Guesses& guesses) {
  if (use_hints)
    for (const Near& near : body.near) {
      const Vec2 arm = body.holes[static_cast<std::size_t>(near.hole)].p_B - p_B;
      if (arm.norm() > 1e-9 && (near.p_C - p_C).norm() > 1e-9) return angle_of(near.p_C - p_C) - angle_of(arm);
    }
  return guesses.uniform(-std::numbers::pi, std::numbers::pi);
}

// Places bodies one after another: on a pin that already has a place, else at a hint, else anywhere.
Eigen::VectorXd guess(const Linkage& linkage, bool use_hints, double spread_mm, Guesses& guesses) {
  const int n = static_cast<int>(linkage.bodies.size()) - 1;
  Eigen::VectorXd q = Eigen::VectorXd::Zero(3 * n);
  std::vector<bool> placed(static_cast<std::size_t>(n + 1), false);
  placed[0] = true;
  const auto place_on_pin = [&]() {
    for (const Pin& pin : linkage.pins)
      for (const HoleRef& fixed : pin.holes) {
        if (!placed[static_cast<std::size_t>(fixed.body)]) continue;
        for (const HoleRef& loose : pin.holes) {
          if (placed[static_cast<std::size_t>(loose.body)]) continue;
          const Body& body = linkage.bodies[static_cast<std::size_t>(loose.body)];
          const Vec2 p_C = place_of(linkage, fixed, q);
          const Vec2 p_B = body.holes[static_cast<std::size_t>(loose.hole)].p_B;
          put(q, loose.body - 1, hinted_angle(body, p_B, p_C, use_hints, guesses), p_B, p_C);
          placed[static_cast<std::size_t>(loose.body)] = true;
          return true;
        }
      }
    return false;
  };
  const auto place_anywhere = [&]() {
    for (int b = 1; b <= n; ++b) {
      if (placed[static_cast<std::size_t>(b)]) continue;
      const Body& body = linkage.bodies[static_cast<std::size_t>(b)];
      Vec2 p_B = Vec2::Zero(), p_C(guesses.uniform(-spread_mm, spread_mm), guesses.uniform(-spread_mm, spread_mm));
      if (use_hints && !body.near.empty()) {
        p_B = body.holes[static_cast<std::size_t>(body.near[0].hole)].p_B;
        p_C = body.near[0].p_C;
      }
      put(q, b - 1, hinted_angle(body, p_B, p_C, use_hints, guesses), p_B, p_C);
      placed[static_cast<std::size_t>(b)] = true;
      return true;
    }
    return false;
  };
  while (place_on_pin() || place_anywhere()) {
  }
  return q;
}

// Levenberg-Marquardt on the ties' residuals, from wherever. @returns greatest residual left [mm]
double draw_together(const Mechanism& mechanism, Eigen::VectorXd& q, Closure& room) {
  const auto size = [&](const Eigen::VectorXd& at) {
    measure_ties(mechanism, at, room);
    return room.residual.squaredNorm();
  };
  Eigen::VectorXd weights(q.size());
  for (Eigen::Index i = 0; i < q.size(); ++i) weights[i] = i % 3 == 2 ? mechanism.size_mm * mechanism.size_mm : 1;
  double damping = 1e-3, now = size(q);
  for (int i = 0; i < 60 && now > together_mm * together_mm * 1e-4; ++i) {
    linearise(mechanism, q, room);
    const Eigen::MatrixXd A = room.J.transpose() * room.J;
    const Eigen::VectorXd slope = room.J.transpose() * room.residual;
    bool better = false;
    while (damping < 1e8 && !better) {
      Eigen::MatrixXd damped = A;
      damped.diagonal() += damping * weights;
      Eigen::VectorXd step;
      if (solve_positive(damped, slope, step)) {
        const Eigen::VectorXd trial = q - step;
        const double then = size(trial);
        if (then < now) {
          const bool stuck = now - then < 1e-10 * now;
          q = trial;
          now = then;
          better = true;
          damping = std::max(damping / 8, 1e-12);
          if (stuck) i = 60;
          continue;
        }
      }
      damping *= 8;
    }
    if (!better) break;
  }
  measure_ties(mechanism, q, room);
  return room.residual.lpNorm<Eigen::Infinity>();
}

// ------------------------------------------------------------------------------------ hints

struct Hint {
  BodyPoint point;
  Vec2 p_C;
};

std::vector<Hint> all_hints(const Linkage& linkage) {
  std::vector<Hint> hints;
  for (std::size_t b = 1; b < linkage.bodies.size(); ++b)
    for (const Near& near : linkage.bodies[b].near)
      hints.push_back({{static_cast<int>(b) - 1, linkage.bodies[b].holes[static_cast<std::size_t>(near.hole)].p_B}, near.p_C});
  return hints;
}

Aim aim_at_hints(const std::vector<Hint>& hints) {
  return [hints](const Eigen::VectorXd& q, Eigen::VectorXd& r, Eigen::MatrixXd& J) {
    std::vector<Turn> turns(static_cast<std::size_t>(q.size() / 3));
    set_turns(q, turns);
    r.setZero(2 * static_cast<Eigen::Index>(hints.size()));
    J.setZero(r.size(), q.size());
    for (std::size_t i = 0; i < hints.size(); ++i) {
      const Vec2 p = position(hints[i].point, q, turns);
      const Eigen::Index row = 2 * static_cast<Eigen::Index>(i), col = 3 * hints[i].point.body;
      r.segment<2>(row) = p - hints[i].p_C;
      J(row, col) = 1;
      J(row + 1, col + 1) = 1;
      J(row, col + 2) = -(p.y() - q[col + 1]);
      J(row + 1, col + 2) = p.x() - q[col];
    }
  };
}

// --------------------------------------------------------------------------------- mobility

int counted_freedoms(const Linkage& linkage, const Mechanism& mechanism) {
  return 3 * (static_cast<int>(linkage.bodies.size()) - 1) - static_cast<int>(mechanism.ties.size());
}

std::string tie_name(const Linkage& linkage, const Tie& tie) {
  const auto i = static_cast<std::size_t>(tie.index);
  switch (tie.of) {
    case Tie::Of::pin: return fmt::format("pin '{}'", linkage.pins[i].name);
    case Tie::Of::rod: return fmt::format("rod '{}'", linkage.rods[i].name);
    case Tie::Of::slide:
    case Tie::Of::heading: return fmt::format("slide '{}'", linkage.slides[i].name);
    default: return "the drive";
  }
}

// Ties that could be taken out without anything moving more: their rows depend on the others.
std::vector<std::string> redundant_ties(const Mechanism& mechanism, const Eigen::MatrixXd& J) {
  std::vector<std::string> names;
  const int rank = matrix_rank(J, rank_threshold);
  for (Eigen::Index row = 0; row < J.rows(); ++row) {
    Eigen::MatrixXd without(J.rows() - 1, J.cols());
    without << J.topRows(row), J.bottomRows(J.rows() - 1 - row);
    if (matrix_rank(without, rank_threshold) < rank) continue;
    const std::string name = tie_name(*mechanism.linkage, mechanism.ties[static_cast<std::size_t>(row)]);
    if (std::find(names.begin(), names.end(), name) == names.end()) names.push_back(name);
  }
  return names;
}

// J with radians weighed as mm, so that its rank does not hang on the unit.
Eigen::MatrixXd weighted_jacobian(const Mechanism& mechanism, const Closure& room) {
  Eigen::MatrixXd J = room.J;
  for (Eigen::Index j = 0; j < J.cols(); ++j) J.col(j) *= mechanism.column_weight[static_cast<std::size_t>(j)];
  return J;
}

// --------------------------------------------------------------------------------- messages

std::string joined(const std::vector<std::string>& names) {
  std::string text;
  for (std::size_t i = 0; i < names.size(); ++i)
    text += (i == 0 ? "" : i + 1 == names.size() ? " and " : ", ") + names[i];
  return text;
}

Problem not_together(const Mechanism& mechanism, const Eigen::VectorXd& best, Closure& room, double module_mm) {
  const Linkage& linkage = *mechanism.linkage;
  measure_ties(mechanism, best, room);
  Eigen::Index worst = 0;
  room.residual.cwiseAbs().maxCoeff(&worst);
  const Tie& tie = mechanism.ties[static_cast<std::size_t>(worst)];
  // A rod says most to a builder: the loop's gap is shown at one, if there is one with a share in it.
  const Tie* shown = &tie;
  double gap = room.residual[worst];
  for (std::size_t i = 0; i < mechanism.ties.size(); ++i) {
    const double here = room.residual[static_cast<Eigen::Index>(i)];
    if (mechanism.ties[i].of == Tie::Of::rod && std::abs(here) > 0.2 * std::abs(room.residual[worst])) {
      if (shown->of != Tie::Of::rod || std::abs(here) > std::abs(gap)) {
        shown = &mechanism.ties[i];
        gap = here;
      }
    }
  }
  Problem problem;
  problem.fault = Fault::no_solution;
  problem.code = "does-not-go-together";
  if (shown->of == Tie::Of::rod) {
    const Rod& rod = linkage.rods[static_cast<std::size_t>(shown->index)];
    problem.place = rod.length_place.line ? rod.length_place : rod.place;
    problem.text = fmt::format(
        "linkage '{}' does not go together: rod '{}' is {:.4g} mm long, and the nearest that '{}' and '{}' come to that is {:.4g} mm",
        linkage.name, rod.name, rod.length_mm, hole_name(linkage, rod.from), hole_name(linkage, rod.to), rod.length_mm + gap);
    problem.hint = gap > 0 ? fmt::format("a longer rod, or holes nearer to each other: {:.3g} modules are missing", gap / module_mm)
                           : fmt::format("a shorter rod, or holes farther apart: it is {:.3g} modules too long", -gap / module_mm);
  } else {
    problem.place = linkage.place;
    if (shown->of == Tie::Of::pin) problem.place = linkage.pins[static_cast<std::size_t>(shown->index)].place;
    problem.text = fmt::format("linkage '{}' does not go together: at {} the holes stay {:.3g} mm apart",
                               linkage.name, tie_name(linkage, *shown), std::abs(gap));
    problem.hint = "check the holes and lengths of the loop that it closes";
  }
  return problem;
}

// The `near` lines that would choose a configuration, to paste.
std::string near_lines(const Mechanism& mechanism, const Eigen::VectorXd& q, double module_mm) {
  const Linkage& linkage = *mechanism.linkage;
  std::string text;
  for (std::size_t b = 1; b < linkage.bodies.size(); ++b) {
    const Body& body = linkage.bodies[b];
    // The hole farthest from the first says most about how the body lies.
    std::size_t far = 0;
    for (std::size_t h = 1; h < body.holes.size(); ++h)
      if ((body.holes[h].p_B - body.holes[0].p_B).norm() > (body.holes[far].p_B - body.holes[0].p_B).norm()) far = h;
    const Vec2 p = place_of(linkage, {static_cast<int>(b), static_cast<int>(far)}, q) / module_mm;
    const auto tenth = [](double x) { return std::round(10 * x) / 10 + 0.0; };
    text += fmt::format("{}{}: near = {{ {} = [{:g}, {:g}] }}", text.empty() ? "" : "; ", body.name, body.holes[far].name,
                        tenth(p.x()), tenth(p.y()));
  }
  return text;
}

Problem ambiguous(const Mechanism& mechanism, const Eigen::VectorXd& one, const Eigen::VectorXd& other, double module_mm) {
  Problem problem;
  problem.place = mechanism.linkage->place;
  problem.code = "ambiguous-assembly";
  problem.text = fmt::format("linkage '{}' goes together in more than one way, and its hints do not choose", mechanism.linkage->name);
  problem.hint = fmt::format("paste one of these: either {} -- or {}", near_lines(mechanism, one, module_mm),
                             near_lines(mechanism, other, module_mm));
  return problem;
}

std::vector<std::string> unmet_stops(const Mechanism& mechanism, const Eigen::VectorXd& q) {
  std::vector<Turn> turns(static_cast<std::size_t>(mechanism.bodies));
  set_turns(q, turns);
  std::vector<std::string> names;
  for (const Stop& stop : mechanism.stops)
    if (stop_gap(stop, read(stop.gauge, q, turns).value) < -1e-7) names.push_back(fmt::format("'{}'", stop.name));
  return names;
}

// ------------------------------------------------------------------------------------ steps

struct Candidate {
  Eigen::VectorXd q;
  double rms_mm = 0;
};

struct Search {
  std::vector<Candidate> found;     // different configurations, the nearest to the hints first
  Eigen::VectorXd best_apart;       // the least bad of those that did not go together
  double least_gap = 1e300;
  int starts = 0;
};

double spread_of(const Linkage& linkage, double size_mm) {
  double spread = size_mm;
  for (const Hole& hole : linkage.bodies[0].holes) spread = std::max(spread, hole.p_B.norm());
  return spread;
}

int rank_at(Mechanism& mechanism, const Eigen::VectorXd& q, Closure& room) {
  mechanism.rank = 0;
  prepare(mechanism, room);
  room.rank = -1;
  linearise(mechanism, q, room);
  mechanism.rank = matrix_rank(weighted_jacobian(mechanism, room), rank_threshold);
  prepare(mechanism, room);
  return mechanism.rank;
}

// Moves a configuration towards the hints and keeps it if it is new.
void take(Mechanism& mechanism, const Aim& aim, std::size_t hints, double module_mm, Eigen::VectorXd q, Search& search) {
  double rms = 0;
  if (hints > 0) rms = walk_towards(mechanism, aim, q) / std::sqrt(static_cast<double>(hints));
  const bool known = std::any_of(search.found.begin(), search.found.end(), [&](const Candidate& c) {
    return farthest_hole(mechanism, c.q, q) < same_place_modules * module_mm;
  });
  if (!known) search.found.push_back({q, rms});
}

// A seeded search, for linkages without a closed form.
void search_by_guesses(const Linkage& linkage, Mechanism& mechanism, const Aim& aim, std::size_t hints, double module_mm, Search& search) {
  Guesses guesses;
  Closure room;
  for (int k = 0; k < random_starts; ++k) {
    ++search.starts;
    Eigen::VectorXd q = guess(linkage, k == 0 || k % 4 == 3, spread_of(linkage, mechanism.size_mm), guesses);
    mechanism.rank = 0;
    prepare(mechanism, room);
    room.rank = -1;
    const double gap = draw_together(mechanism, q, room);
    if (gap > together_mm) {
      if (gap < search.least_gap) {
        search.least_gap = gap;
        search.best_apart = q;
      }
      continue;
    }
    rank_at(mechanism, q, room);
    close(mechanism, q, room);
    take(mechanism, aim, hints, module_mm, q, search);
  }
}

// All configurations of a linkage of two-bar groups, over a grid of its inputs: for every choice of sides, and every
// unbroken run of the input in which they meet, the one nearest to the hints.
void search_by_plan(const TwoBarPlan& plan, Mechanism& mechanism, const Aim& aim, const std::vector<Hint>& hints, double module_mm,
                    Search& search) {
  const int free = plan.free_inputs();
  const int samples = free == 0 ? 1 : free == 1 ? samples_of_one : samples_of_two;
  const int rows = free == 2 ? samples : 1;
  const double reach = 4 * spread_of(*mechanism.linkage, mechanism.size_mm);
  std::vector<double> inputs(static_cast<std::size_t>(free));
  const auto set_input = [&](std::size_t i, int sample) {
    std::size_t k = 0;
    for (const TwoBarInput& input : plan.inputs) {
      if (input.driven) continue;
      if (k++ != i) continue;
      const double share = (sample + 0.5) / samples;
      inputs[i] = input.slides ? (2 * share - 1) * reach : (2 * share - 1) * std::numbers::pi;
    }
  };
  std::vector<Candidate> runs;
  Eigen::VectorXd q(mechanism.coordinates()), r;
  Eigen::MatrixXd J;
  std::vector<Turn> turns(static_cast<std::size_t>(mechanism.bodies));
  for (unsigned sides = 0; sides < (1u << plan.steps.size()); ++sides)
    for (int row = 0; row < rows; ++row) {
      bool running = false;
      for (int sample = 0; sample < samples; ++sample) {
        if (free > 0) set_input(0, sample);
        if (free > 1) set_input(1, row);
        ++search.starts;
        if (!lay_down(plan, inputs, sides, q)) {
          running = false;
          continue;
        }
        double square = 0;
        set_turns(q, turns);
        for (const Hint& hint : hints) square += (position(hint.point, q, turns) - hint.p_C).squaredNorm();
        const double rms = hints.empty() ? 0 : std::sqrt(square / static_cast<double>(hints.size()));
        if (!running || rms < runs.back().rms_mm) {
          if (!running) runs.push_back({q, rms});
          else runs.back() = {q, rms};
        }
        running = true;
      }
    }
  std::stable_sort(runs.begin(), runs.end(), [](const Candidate& a, const Candidate& b) { return a.rms_mm < b.rms_mm; });
  Closure room;
  double best = 1e300;
  for (const Candidate& run : runs) {
    // The grid is so fine that walking on from its best place gains less than this.
    if (run.rms_mm > best + longest_gain_modules * module_mm) break;
    Eigen::VectorXd start = run.q;
    rank_at(mechanism, start, room);
    if (!close(mechanism, start, room)) continue;
    take(mechanism, aim, hints.size(), module_mm, start, search);
    for (const Candidate& c : search.found) best = std::min(best, c.rms_mm);
  }
}

Search search_configurations(const Linkage& linkage, Mechanism& mechanism, const std::vector<Hint>& hints, double module_mm) {
  Search search;
  const Aim aim = aim_at_hints(hints);
  const auto plan = plan_two_bars(mechanism);
  if (plan && plan->free_inputs() <= 2 && plan->steps.size() <= most_planned_steps)
    search_by_plan(*plan, mechanism, aim, hints, module_mm, search);
  // Nothing found: a run may be shorter than the grid, and if there is none, the guesses tell how far apart the parts stay.
  if (search.found.empty()) search_by_guesses(linkage, mechanism, aim, hints.size(), module_mm, search);
  std::stable_sort(search.found.begin(), search.found.end(),
                   [](const Candidate& a, const Candidate& b) { return a.rms_mm < b.rms_mm; });
  return search;
}

// Moves q along itself until every stop fits. @returns whether it does
bool fit_stops(const Mechanism& mechanism, Eigen::VectorXd& q) {
  const Aim aim = aim_within_stops(mechanism);
  if (worst_overrun(mechanism, q) < 1e-9) return true;
  Eigen::VectorXd trial = q;
  walk_towards(mechanism, aim, trial);
  if (worst_overrun(mechanism, trial) < 1e-7) {
    q = trial;
    return true;
  }
  if (mechanism.freedoms() != 1) {
    q = trial;
    return false;
  }
  // One freedom: look both ways round and take the nearer place that fits.
  bool fits = false;
  int least_steps = 1 << 30;
  for (const bool forward : {true, false}) {
    int steps = 0;
    walk_round(mechanism, q, forward, [&](const Eigen::VectorXd& at) {
      if (++steps >= least_steps) return false;
      Eigen::VectorXd here = at;
      if (worst_overrun(mechanism, here) > 0.3 * mechanism.size_mm) return true;
      walk_towards(mechanism, aim, here);
      if (worst_overrun(mechanism, here) > 1e-7) return true;
      least_steps = steps;
      trial = here;
      fits = true;
      return false;
    });
  }
  q = trial;
  return fits;
}

// Turns counted so that every torsion spring stands within half a turn of where it is unloaded.
void count_turns(Mechanism& mechanism, const Eigen::VectorXd& q) {
  std::vector<Turn> turns(static_cast<std::size_t>(mechanism.bodies));
  set_turns(q, turns);
  constexpr double turn = 2 * std::numbers::pi;
  for (std::size_t i = 0; i < mechanism.springs.size(); ++i) {
    SpringElement& spring = mechanism.springs[i];
    if (!spring.torsion) continue;
    const double offset = -turn * std::round((read(spring.gauge, q, turns).value - spring.free_rad) / turn);
    spring.gauge.offset_rad += offset;
    for (Stop& stop : mechanism.stops)
      if (stop.spring == static_cast<int>(i)) stop.gauge.offset_rad += offset;
  }
}

std::optional<Problem> immovable(const Mechanism& mechanism, const Eigen::VectorXd& q) {
  const Linkage& linkage = *mechanism.linkage;
  Mechanism undriven = mechanism;
  if (linkage.drive) {
    std::erase_if(undriven.ties, [](const Tie& tie) { return tie.of == Tie::Of::drive; });
    undriven.rank = static_cast<int>(undriven.ties.size());
    Closure probe;
    prepare(undriven, probe);
    probe.rank = -1;
    linearise(undriven, q, probe);
    undriven.rank = matrix_rank(weighted_jacobian(undriven, probe), rank_threshold);
  }
  Closure room;
  prepare(undriven, room);
  linearise(undriven, q, room);
  Eigen::MatrixXd T;
  tangents(room.part, T);
  const auto moves = [&](const Gauge& gauge) {
    const Reading reading = read(gauge, q, room.turns);
    for (Eigen::Index c = 0; c < T.cols(); ++c)
      if (std::abs(slope_along(gauge, reading, T.col(c))) > 1e-9 * T.col(c).cwiseAbs().maxCoeff()) return true;
    return false;
  };
  std::vector<std::string> locked;
  for (int b = 0; b < mechanism.bodies; ++b)
    if (T.cols() == 0 || T.middleRows(3 * b, 3).cwiseAbs().maxCoeff() < 1e-9)
      locked.push_back(linkage.bodies[static_cast<std::size_t>(b) + 1].name);
  for (const Rod& rod : linkage.rods) locked.push_back(rod.name);
  const std::string loop = locked.empty() ? "what it hangs on" : joined(locked);
  Problem problem;
  problem.code = "no-freedom";
  problem.hint = "take a pin or rod out of that loop, or move its holes so that it can move";
  for (std::size_t i = 0; i < mechanism.wheels.size(); ++i) {
    const WheelPoint& wheel = mechanism.wheels[i];
    if (wheel.fixed || linkage.plane == Plane::top) continue;
    if (moves(wheel.height) || moves(wheel.sideways)) continue;
    problem.place = linkage.wheels[i].place;
    problem.text = fmt::format("wheel '{}' cannot move: in linkage '{}' {} lock each other", linkage.wheels[i].name, linkage.name, loop);
    return problem;
  }
  if (linkage.drive) {
    for (const Tie& tie : mechanism.ties)
      if (tie.of == Tie::Of::drive && !moves(tie.gauge)) {
        problem.place = linkage.drive->place;
        problem.text = fmt::format("the drive of linkage '{}' cannot move: {} lock each other", linkage.name, loop);
        return problem;
      }
  }
  return std::nullopt;
}

std::optional<Problem> held_by_nothing(const Linkage& linkage, const Mechanism& mechanism) {
  for (int b = 0; b < mechanism.bodies; ++b) {
    const bool tied = std::any_of(mechanism.ties.begin(), mechanism.ties.end(), [&](const Tie& tie) {
      return tie.gauge.p.body == b || tie.gauge.q.body == b;
    });
    const bool sprung = std::any_of(mechanism.springs.begin(), mechanism.springs.end(), [&](const SpringElement& s) {
      return s.gauge.p.body == b || s.gauge.q.body == b;
    });
    if (tied || sprung) continue;
    const Body& body = linkage.bodies[static_cast<std::size_t>(b) + 1];
    Problem problem;
    problem.place = body.place;
    problem.code = "held-by-nothing";
    problem.text = fmt::format("nothing holds body '{}' of linkage '{}'", body.name, linkage.name);
    problem.hint = "join it to another body with a pin, rod or slide, or leave it out";
    return problem;
  }
  return std::nullopt;
}

}  // namespace

AssembleResult assemble(const Linkage& linkage, double module_mm) {
  AssembleResult out;
  Mechanism mechanism = make_mechanism(linkage);
  if (auto problem = held_by_nothing(linkage, mechanism)) {
    out.problems.push_back(*problem);
    return out;
  }
  if (mechanism.bodies == 0) {
    out.assembly = Assembly{.mechanism = mechanism, .q = Eigen::VectorXd(0), .counted_freedoms = 0, .redundant = {}, .starts = 0};
    return out;
  }
  const std::vector<Hint> hints = all_hints(linkage);
  const Search search = search_configurations(linkage, mechanism, hints, module_mm);
  Closure room;
  if (search.found.empty()) {
    prepare(mechanism, room);
    out.problems.push_back(not_together(mechanism, search.best_apart, room, module_mm));
    return out;
  }

  Eigen::VectorXd q = search.found.front().q;
  prepare(mechanism, room);
  room.rank = -1;
  linearise(mechanism, q, room);
  const Eigen::MatrixXd J = weighted_jacobian(mechanism, room);
  mechanism.rank = matrix_rank(J, rank_threshold);
  if (auto problem = immovable(mechanism, q)) {
    out.problems.push_back(*problem);
    return out;
  }
  for (std::size_t i = 1; i < search.found.size(); ++i) {
    const Candidate& other = search.found[i];
    if (other.rms_mm - search.found.front().rms_mm > as_near_modules * module_mm) break;
    if (can_reach(mechanism, q, other.q, same_place_modules * module_mm)) continue;
    out.problems.push_back(ambiguous(mechanism, q, other.q, module_mm));
    return out;
  }
  count_turns(mechanism, q);
  if (!fit_stops(mechanism, q)) {
    Problem problem;
    problem.place = linkage.place;
    problem.code = "never-fits";
    problem.fault = Fault::no_solution;
    problem.text = fmt::format("linkage '{}' goes together, but {} can not be kept anywhere along its travel", linkage.name,
                               joined(unmet_stops(mechanism, q)));
    problem.hint = "another seat hole or rod length, or a spring of another length";
    out.problems.push_back(problem);
    return out;
  }
  const int counted = counted_freedoms(linkage, mechanism);
  std::vector<std::string> redundant;
  if (counted != mechanism.freedoms()) redundant = redundant_ties(mechanism, J);
  out.assembly = Assembly{std::move(mechanism), q, counted, redundant, search.starts};
  return out;
}

}  // namespace ridepitch
