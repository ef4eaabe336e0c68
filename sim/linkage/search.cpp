#include "linkage/search.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <optional>
#include <random>

#include "linkage/closure.hpp"
#include "linkage/dense.hpp"
#include "linkage/mobility.hpp"
#include "linkage/two_bar.hpp"
#include "linkage/walk.hpp"

namespace ridepitch {

Vec2 place_of(const Linkage& linkage, HoleRef ref, const Eigen::VectorXd& q) {
  const BodyPoint point = body_point(linkage, ref);
  std::vector<Turn> turns(static_cast<std::size_t>(q.size() / 3));
  set_turns(q, turns);
  return position(point, q, turns);
}

namespace {

constexpr int random_starts = 40;
constexpr int samples_of_one = 48;  // of one input, over a whole turn or four times the linkage's size
constexpr int samples_of_two = 20;  // of each of two inputs
constexpr std::size_t most_planned_steps = 7;
constexpr double longest_gain_modules = 2.0;
constexpr double together_mm = 1e-7;  // a residual under it is rounding, not a gap

// A repeatable sequence of guesses: the same bits everywhere, unlike the standard distributions.
struct Guesses {
  std::mt19937 engine{7u};
  double uniform(double low, double high) {
    return low + (high - low) * (static_cast<double>(engine()) / 4294967295.0);
  }
};

double angle_of(const Vec2& v) { return std::atan2(v.y(), v.x()); }

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
          put_body(q, loose.body - 1, hinted_angle(body, p_B, p_C, use_hints, guesses), p_B, p_C);
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
      put_body(q, b - 1, hinted_angle(body, p_B, p_C, use_hints, guesses), p_B, p_C);
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
      Eigen::VectorXd step = slope;
      if (solve_positive(damped, step)) {
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

struct Hint {
  BodyPoint point;
  Vec2 p_C;
};

std::vector<Hint> all_hints(const Linkage& linkage) {
  std::vector<Hint> hints;
  for (std::size_t b = 1; b < linkage.bodies.size(); ++b)
    for (const Near& near : linkage.bodies[b].near)
      hints.push_back(
          {{static_cast<int>(b) - 1, linkage.bodies[b].holes[static_cast<std::size_t>(near.hole)].p_B}, near.p_C});
  return hints;
}

Target aim_at_hints(const std::vector<Hint>& hints) {
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

double spread_of(const Linkage& linkage, double size_mm) {
  double spread = size_mm;
  for (const Hole& hole : linkage.bodies[0].holes) spread = std::max(spread, hole.p_B.norm());
  return spread;
}

// Moves a configuration towards the hints and keeps it if it is new.
void take(Mechanism& mechanism, const Target& aim, std::size_t hints, double module_mm, Eigen::VectorXd q,
          Search& search) {
  double rms = 0;
  if (hints > 0) rms = walk_towards(mechanism, aim, q) / std::sqrt(static_cast<double>(hints));
  const bool known = std::any_of(search.found.begin(), search.found.end(), [&](const Candidate& c) {
    return farthest_hole(mechanism, c.q, q) < same_place_modules * module_mm;
  });
  if (!known) search.found.push_back({q, rms});
}

// A seeded search, for linkages without a closed form.
void search_by_guesses(const Linkage& linkage, Mechanism& mechanism, const Target& aim, std::size_t hints,
                       double module_mm, Search& search) {
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
    set_rank(mechanism, q, room);
    close(mechanism, q, room);
    take(mechanism, aim, hints, module_mm, q, search);
  }
}

// All configurations of a linkage of two-bar groups, over a grid of its inputs: for every choice of sides, and every
// unbroken run of the input in which they meet, the one nearest to the hints.
void search_by_plan(const TwoBarPlan& plan, Mechanism& mechanism, const Target& aim, const std::vector<Hint>& hints,
                    double module_mm, Search& search) {
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
      double best_of_run = 0;
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
        // Without hints any place of the run will do: one that is within its stops is nearest to what is meant.
        const double score = hints.empty() ? worst_overrun(mechanism, q) : rms;
        if (!running || score < best_of_run) {
          if (!running)
            runs.push_back({q, rms});
          else
            runs.back() = {q, rms};
          best_of_run = score;
        }
        running = true;
      }
    }
  std::stable_sort(runs.begin(), runs.end(),
                   [](const Candidate& a, const Candidate& b) { return a.rms_mm < b.rms_mm; });
  Closure room;
  double best = 1e300;
  for (const Candidate& run : runs) {
    // The grid is so fine that walking on from its best place gains less than this.
    if (run.rms_mm > best + longest_gain_modules * module_mm) break;
    Eigen::VectorXd start = run.q;
    set_rank(mechanism, start, room);
    if (!close(mechanism, start, room)) continue;
    take(mechanism, aim, hints.size(), module_mm, start, search);
    for (const Candidate& c : search.found) best = std::min(best, c.rms_mm);
  }
}

}  // namespace

double draw_together(Mechanism& mechanism, Eigen::VectorXd& q) {
  Closure room;
  mechanism.rank = 0;
  prepare(mechanism, room);
  room.rank = -1;
  return draw_together(mechanism, q, room);
}

Search search_configurations(Mechanism& mechanism, double module_mm) {
  const Linkage& linkage = *mechanism.linkage;
  const std::vector<Hint> hints = all_hints(linkage);
  Search search;
  const Target aim = aim_at_hints(hints);
  const auto plan = plan_two_bars(mechanism);
  if (plan && plan->free_inputs() <= 2 && plan->steps.size() <= most_planned_steps)
    search_by_plan(*plan, mechanism, aim, hints, module_mm, search);
  // Nothing found: a run may be shorter than the grid, and if there is none, the guesses tell how far apart the parts stay.
  if (search.found.empty()) search_by_guesses(linkage, mechanism, aim, hints.size(), module_mm, search);
  std::stable_sort(search.found.begin(), search.found.end(),
                   [](const Candidate& a, const Candidate& b) { return a.rms_mm < b.rms_mm; });
  return search;
}

}  // namespace ridepitch
