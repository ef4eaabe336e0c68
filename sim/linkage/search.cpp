#include "linkage/search.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <optional>
#include <random>
#include <utility>

#include "linkage/closure.hpp"
#include "linkage/dense.hpp"
#include "linkage/mobility.hpp"
#include "linkage/two_bar.hpp"
#include "linkage/walk.hpp"
#include "model/index.hpp"

namespace ridepitch {

Vec2 place_of(const Linkage& linkage, HoleRef ref, const Eigen::VectorXd& q) {
  return position(body_point(linkage, ref), q);
}

namespace {

constexpr int random_starts = 40;
constexpr int samples_of_one = 48;  // of one input, over a whole turn or four times the linkage's size
constexpr int samples_of_two = 20;  // of each of two inputs
constexpr int most_planned_inputs = 2;
constexpr int most_planned_steps = 7;
constexpr double longest_gain_modules = 2.0;
constexpr double together_mm = 1e-7;  // a residual under it is rounding, not a gap

// A repeatable sequence of guesses: the same bits everywhere, unlike the standard distributions.
struct Guesses {
  std::mt19937 engine{7u};
};
double uniform(Guesses& guesses, double low, double high) {
  return low + (high - low) * (static_cast<double>(guesses.engine()) / 4294967295.0);
}

double angle_of(const Vec2& v) { return std::atan2(v.y(), v.x()); }

// The angle of a body that sits with p_B at p_C, as its hints would have it; a guess where it has none.
double hinted_angle(const Body& body, const Vec2& p_B, const Vec2& p_C, bool use_hints, Guesses& guesses) {
  if (use_hints)
    for (const Near& near : body.near) {
      const Vec2 arm = at(body.holes, near.hole).p_B - p_B;
      if (arm.norm() > 1e-9 && (near.p_C - p_C).norm() > 1e-9) return angle_of(near.p_C - p_C) - angle_of(arm);
    }
  return uniform(guesses, -std::numbers::pi, std::numbers::pi);
}

// A hole of a body without a place, on a pin with one of a body that has its place.
std::optional<std::pair<HoleRef, HoleRef>> pinned_to_placed(const Linkage& linkage, const std::vector<bool>& placed) {
  for (const Pin& pin : linkage.pins)
    for (const HoleRef& fixed : pin.holes)
      for (const HoleRef& loose : pin.holes)
        if (at(placed, fixed.body) && !at(placed, loose.body)) return std::pair{loose, fixed};
  return std::nullopt;
}

// Places bodies one after another: on a pin that already has a place, else at a hint, else anywhere.
Eigen::VectorXd guess(const Linkage& linkage, bool use_hints, double spread_mm, Guesses& guesses) {
  Eigen::VectorXd q = Eigen::VectorXd::Zero(3 * (count(linkage.bodies) - 1));
  std::vector<bool> placed(linkage.bodies.size(), false);
  placed[chassis] = true;
  const auto put = [&](int b, const Vec2& p_B, const Vec2& p_C) {
    put_body(q, b - 1, hinted_angle(at(linkage.bodies, b), p_B, p_C, use_hints, guesses), p_B, p_C);
    placed[static_cast<std::size_t>(b)] = true;
  };
  while (true) {
    if (const auto pin = pinned_to_placed(linkage, placed)) {
      const auto& [loose, fixed] = *pin;
      put(loose.body, body_point(linkage, loose).p_B, place_of(linkage, fixed, q));
      continue;
    }
    const auto next = std::find(placed.begin(), placed.end(), false);
    if (next == placed.end()) return q;
    const int b = static_cast<int>(next - placed.begin());
    const Body& body = at(linkage.bodies, b);
    const double v = uniform(guesses, -spread_mm, spread_mm), u = uniform(guesses, -spread_mm, spread_mm);
    if (use_hints && !body.near.empty())
      put(b, at(body.holes, body.near[0].hole).p_B, body.near[0].p_C);
    else
      put(b, Vec2::Zero(), {u, v});
  }
}

// Where hinted holes are wished to be.
struct Hints {
  std::vector<BodyPoint> points;
  std::vector<Vec2> places;
};

Hints all_hints(const Linkage& linkage) {
  Hints hints;
  for (int b = 1; b < count(linkage.bodies); ++b)
    for (const Near& near : at(linkage.bodies, b).near) {
      hints.points.push_back(body_point(linkage, {b, near.hole}));
      hints.places.push_back(near.p_C);
    }
  return hints;
}

double spread_of(const Linkage& linkage, double size_mm) {
  double spread = size_mm;
  for (const Hole& hole : linkage.bodies[chassis].holes) spread = std::max(spread, hole.p_B.norm());
  return spread;
}

bool nearer_to_hints(const Candidate& a, const Candidate& b) { return a.rms_mm < b.rms_mm; }

// Closes a configuration that nearly is, moves it towards the hints, and keeps it if it is new.
void take(Mechanism& mechanism, const Hints& hints, double module_mm, Eigen::VectorXd q, bool must_close,
          Search& search) {
  set_rank(mechanism, q);
  if (!close(mechanism, q) && must_close) return;
  double rms = 0;
  if (!hints.points.empty())
    rms = walk_towards(mechanism, target_at(hints.points, hints.places), q) / std::sqrt(count(hints.points));
  const bool known = std::any_of(search.found.begin(), search.found.end(), [&](const Candidate& c) {
    return farthest_hole(*mechanism.linkage, c.q, q) < same_place_modules * module_mm;
  });
  if (!known) search.found.push_back({q, rms});
}

// A seeded search, for linkages without a closed form.
void search_by_guesses(Mechanism& mechanism, const Hints& hints, double module_mm, Search& search) {
  const Linkage& linkage = *mechanism.linkage;
  Guesses guesses;
  for (int k = 0; k < random_starts; ++k) {
    ++search.starts;
    Eigen::VectorXd q = guess(linkage, k == 0 || k % 4 == 3, spread_of(linkage, mechanism.size_mm), guesses);
    const double gap = draw_together(mechanism, q);
    if (gap <= together_mm) {
      take(mechanism, hints, module_mm, q, false, search);
    } else if (gap < search.least_gap) {
      search.least_gap = gap;
      search.best_apart = q;
    }
  }
}

// Values of a plan's free inputs over a grid: all of an input's, or half a turn or a reach to each side of 0.
std::vector<std::vector<double>> input_values(const TwoBarPlan& plan, double reach_mm) {
  const int samples = free_inputs(plan) < 2 ? samples_of_one : samples_of_two;
  std::vector<std::vector<double>> values;
  for (const TwoBarInput& input : plan.inputs) {
    if (input.driven) continue;
    std::vector<double>& row = values.emplace_back();
    for (int i = 0; i < samples; ++i)
      row.push_back((2 * (i + 0.5) / samples - 1) * (input.slides ? reach_mm : std::numbers::pi));
  }
  return values;
}

// Of every unbroken run of the first input, in which the loci of each step meet, the place nearest to the hints.
std::vector<Candidate> best_of_runs(const TwoBarPlan& plan, const Mechanism& mechanism, const Hints& hints,
                                    int& looks) {
  const auto values = input_values(plan, 4 * spread_of(*mechanism.linkage, mechanism.size_mm));
  const std::size_t rows = values.size() > 1 ? values[1].size() : 1, samples = values.empty() ? 1 : values[0].size();
  std::vector<Candidate> runs;
  std::vector<double> inputs(values.size());
  Eigen::VectorXd q(mechanism.coordinates());
  for (unsigned sides = 0; sides < (1u << plan.steps.size()); ++sides)
    for (std::size_t row = 0; row < rows; ++row) {
      bool running = false;
      double best_of_run = 0;
      for (std::size_t sample = 0; sample < samples; ++sample) {
        if (!values.empty()) inputs[0] = values[0][sample];
        if (values.size() > 1) inputs[1] = values[1][row];
        ++looks;
        const bool was_running = std::exchange(running, lay_down(plan, inputs, sides, q));
        if (!running) continue;
        double square = 0;
        for (std::size_t i = 0; i < hints.points.size(); ++i)
          square += (position(hints.points[i], q) - hints.places[i]).squaredNorm();
        const double rms = hints.points.empty() ? 0 : std::sqrt(square / count(hints.points));
        // Without hints any place of the run will do: one that is within its stops is nearest to what is meant.
        const double score = hints.points.empty() ? worst_overrun(mechanism, q) : rms;
        if (was_running && score >= best_of_run) continue;
        if (!was_running) runs.emplace_back();
        runs.back() = {q, rms};
        best_of_run = score;
      }
    }
  return runs;
}

// All configurations of a linkage of two-bar groups, over a grid of its inputs and for every choice of sides.
void search_by_plan(const TwoBarPlan& plan, Mechanism& mechanism, const Hints& hints, double module_mm,
                    Search& search) {
  std::vector<Candidate> runs = best_of_runs(plan, mechanism, hints, search.starts);
  std::stable_sort(runs.begin(), runs.end(), nearer_to_hints);
  double best = 1e300;
  for (const Candidate& run : runs) {
    // The grid is so fine that walking on from its best place gains less than this.
    if (run.rms_mm > best + longest_gain_modules * module_mm) break;
    take(mechanism, hints, module_mm, run.q, true, search);
    for (const Candidate& c : search.found) best = std::min(best, c.rms_mm);
  }
}

}  // namespace

// Levenberg-Marquardt on the ties' residuals, from wherever.
double draw_together(Mechanism& mechanism, Eigen::VectorXd& q) {
  constexpr int most_steps = 60;
  constexpr double hopeless_damping = 1e8, least_damping = 1e-12;
  constexpr double stuck_share = 1e-10;  // of the sum of squares, that a step must gain
  Closure closure = unranked(mechanism);
  const auto size = [&](const Eigen::VectorXd& at) {
    measure_ties(mechanism, at, closure);
    return closure.residual.squaredNorm();
  };
  Eigen::VectorXd weights(q.size());
  for (Eigen::Index i = 0; i < q.size(); ++i) weights[i] = i % 3 == 2 ? mechanism.size_mm * mechanism.size_mm : 1;
  double damping = 1e-3, now = size(q);
  bool stuck = false;
  for (int i = 0; i < most_steps && !stuck && now > together_mm * together_mm * 1e-4; ++i) {
    linearise(mechanism, q, closure);
    const Eigen::MatrixXd A = closure.J.transpose() * closure.J;
    const Eigen::VectorXd slope = closure.J.transpose() * closure.residual;
    bool better = false;
    while (damping < hopeless_damping && !better) {
      Eigen::MatrixXd damped = A;
      damped.diagonal() += damping * weights;
      Eigen::VectorXd step = slope;
      const bool solved = solve_positive(damped, step);
      const Eigen::VectorXd trial = q - step;
      const double then = solved ? size(trial) : now;
      better = then < now;
      damping = better ? std::max(damping / 8, least_damping) : 8 * damping;
      if (!better) continue;
      stuck = now - then < stuck_share * now;
      q = trial;
      now = then;
    }
    if (!better) break;
  }
  measure_ties(mechanism, q, closure);
  return closure.residual.lpNorm<Eigen::Infinity>();
}

Search search_configurations(Mechanism& mechanism, double module_mm) {
  const Hints hints = all_hints(*mechanism.linkage);
  Search search;
  const auto plan = plan_two_bars(mechanism);
  if (plan && free_inputs(*plan) <= most_planned_inputs && count(plan->steps) <= most_planned_steps)
    search_by_plan(*plan, mechanism, hints, module_mm, search);
  // Nothing found: a run may be shorter than the grid, and if there is none, the guesses tell how far apart the parts stay.
  if (search.found.empty()) search_by_guesses(mechanism, hints, module_mm, search);
  std::stable_sort(search.found.begin(), search.found.end(), nearer_to_hints);
  return search;
}

}  // namespace ridepitch
