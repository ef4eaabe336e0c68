#include "ride/lower.hpp"

#include <algorithm>
#include <cmath>

#include "ride/equilibrium.hpp"

namespace ridepitch {
namespace {

constexpr double first_share = 0.02;  // of the weight: the vehicle finds its feet
constexpr double least_share_step = 1.0 / 4096;
constexpr double roughly_settled_mm = 1e-4;  // only the start of the next share's descent
constexpr double longest_followed_mm = 25;   // a rest farther away is another one
constexpr int most_changes_followed = 8;     // of the active bounds
constexpr double runaway_mm = 1000;          // still going after that far: nothing holds it
constexpr int most_falls = 8;

// How far one step of the weight may lead. Farther than the stiffness promised, by more than stops that let go explain, the
// equilibrium may have turned back: it falls.
double calm_mm(double first_step_mm) {
  constexpr double stops_let_go_mm = 8, times_promised = 3;
  return stops_let_go_mm + times_promised * first_step_mm;
}

// The softest motion of an exact state [unknowns], empty where it is stable.
Eigen::VectorXd falling_motion(const Work& work) {
  constexpr double least_stiffness = 1e-6;         // N/mm: nothing is as soft
  constexpr double rounding_of_curvature = 1e-10;  // share of the greatest one
  double greatest = least_stiffness;
  for (Eigen::Index i = 0; i < work.gradient.size(); ++i)
    greatest = std::max(greatest, std::abs(work.hessian(i, i)) / (work.scale[i] * work.scale[i]));
  const FreeMotions free = free_motions(work);
  if (free.curvature.size() == 0 || free.curvature[0] > -rounding_of_curvature * greatest) return {};
  return free.motion.col(0);
}

void share_out(const System& system, const State& exact, Rest& rest) {
  rest.state = exact;
  rest.indeterminate = share_loads_over_all_met(rest.work);
  evaluate(system, rest.state, Bounds::exact, rest.work);
}

// Exact, stable, loads shared; snaps through where it is not stable. @returns false if it falls without end
bool finish(const System& system, Rest& rest) {
  for (int fall = 0; fall < most_falls; ++fall) {
    if (tipped(system, rest.state)) return false;
    State exact = rest.state;
    if (!make_exact(system, 1, exact, rest.work)) return false;
    const Eigen::VectorXd falling = falling_motion(rest.work);
    if (falling.size() == 0) {
      share_out(system, exact, rest);
      return true;
    }
    // Pushed off the crest: the sense is chosen by the greatest entry, so that runs repeat.
    rest.snapped = true;
    Eigen::Index most = 0;
    falling.cwiseProduct(rest.work.scale).cwiseAbs().maxCoeff(&most);
    constexpr double push_mm = 0.5;
    Eigen::VectorXd push = falling * (push_mm / step_size_mm(rest.work, falling));
    if (push[most] < 0) push = -push;
    State off;
    if (!moved(system, exact, push, rest.work, off)) return false;
    rest.state = off;
    if (!descend(system, 1, rest.state, rest.work).settled) return false;
  }
  return false;
}

}  // namespace

std::optional<Rest> lower(const System& system, const State& hanging, int steps) {
  Rest rest;
  rest.state = hanging;
  prepare(system, rest.work);
  descend(system, first_share, rest.state, rest.work);
  double share = first_share, step = (1 - first_share) / steps;
  while (share < 1) {
    const double next = std::min(1.0, share + step);
    State state = rest.state;
    const bool last = step <= least_share_step;
    const Descent descent = descend(system, next, state, rest.work,
                                    next < 1 ? roughly_settled_mm : finest_settled_step_mm, last ? nullptr : calm_mm);
    if (tipped(system, state)) return std::nullopt;
    const double gone = distance_mm(system, rest.state, state);
    if (!descent.settled && gone > runaway_mm) return std::nullopt;
    const bool fell = !descent.settled || gone > calm_mm(descent.first_step_mm);
    if (fell && !last) {
      step /= 4;
      continue;
    }
    if (!descent.settled) return std::nullopt;
    if (fell) rest.snapped = true;
    rest.state = state;
    share = next;
    step = std::min(2 * step, (1 - first_share) / steps);
  }
  if (!finish(system, rest)) return std::nullopt;
  return rest;
}

std::optional<Rest> come_to_rest(const System& system, const State& from) {
  Rest rest;
  rest.state = from;
  prepare(system, rest.work);
  descend(system, 1, rest.state, rest.work);
  if (!finish(system, rest)) return std::nullopt;
  return rest;
}

std::optional<Rest> follow_rest(const System& system, const Rest& from) {
  Rest rest = from;
  rest.snapped = false;
  State exact = from.state;
  const bool balanced = balance_exactly(system, exact, rest.work, most_changes_followed) && !tipped(system, exact) &&
                        distance_mm(system, from.state, exact) < longest_followed_mm;
  if (!balanced || falling_motion(rest.work).size() > 0) return come_to_rest(system, from.state);
  share_out(system, exact, rest);
  return rest;
}

}  // namespace ridepitch
