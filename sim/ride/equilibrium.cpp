#include "ride/equilibrium.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

#include "linkage/dense.hpp"

namespace ridepitch {
namespace {

constexpr int most_descent_steps = 400;
constexpr double longest_step_mm = 6.0;
constexpr double shortest_jump_mm = 0.02;  // a step under it passes no stop

constexpr double tipped_rad = 1.3;  // beyond it no wheel carries a vehicle

constexpr int most_exact_steps = 25;
constexpr int most_set_changes = 40;
constexpr double widest_closed = 1e-6;  // mm or rad: more than rounding leaves of a closed gap
constexpr double gap_slack = 1e-9;      // mm or rad: rounding of a gap that is 0

}  // namespace

bool tipped(const System& system, const State& state) {
  return system.on_ground && (!(std::abs(state.pitch_rad) < tipped_rad) || !(std::abs(state.roll_rad) < tipped_rad) ||
                              !(std::abs(state.height_mm) < 1e5));
}

namespace {

// Whether a step from where `work` was evaluated seems to lead past a stop: straight on it would be met, but it is open at the
// step's end. Met on a short part of the way only, it was jumped over.
bool jumps_a_stop(const System& system, const Eigen::VectorXd& step, const State& end, Work& work) {
  for (std::size_t b = 0; b < work.bounds.size(); ++b) {
    const double gap = work.bound[b].gap, change = work.rows.row(static_cast<Eigen::Index>(b)).dot(step);
    if (work.bounds[b].contact || change >= 0 || gap + change >= 0) continue;
    if (gap_of_stop(system, end, work.bounds[b], work) > 0) return true;
  }
  return false;
}

}  // namespace

Descent descend(const System& system, double load_share, State& state, Work& work, double settled_step_mm,
                double (*farthest_mm)(double first_step_mm)) {
  Descent out;
  work.load_share = load_share;
  const std::optional<State> from = farthest_mm ? std::optional(state) : std::nullopt;
  const Eigen::Index n = work.gradient.size();
  if (n == 0) {
    evaluate(system, state, Bounds::soft, work);
    out.settled = true;
    return out;
  }
  State trial;
  Eigen::VectorXd step(n);
  Eigen::MatrixXd shifted(n, n);
  double shift = 0;
  for (; out.steps < most_descent_steps; ++out.steps) {
    evaluate(system, state, Bounds::soft, work);
    if (tipped(system, state)) return out;
    const double energy = work.energy_n_mm;
    bool advanced = false;
    for (int tries = 0; tries < 60 && !advanced; ++tries) {
      shifted = work.hessian;
      for (Eigen::Index i = 0; i < n; ++i) shifted(i, i) += (shift + 1e-12) * work.scale[i] * work.scale[i];
      step = -work.gradient;
      if (!solve_positive(shifted, step)) {
        shift = std::max(4 * shift, 1e-3);
        continue;
      }
      double size = step_size_mm(work, step);
      if (out.steps == 0 && tries == 0) out.first_step_mm = size;
      if (size > longest_step_mm) {
        step *= longest_step_mm / size;
        size = longest_step_mm;
      }
      const double promised = -work.gradient.dot(step);
      const bool within_rounding = promised < 1e-12 * (1 + std::abs(energy));
      for (double share = 1; share > 1e-4; share /= 4) {
        if (!moved(system, state, share * step, work, trial)) continue;
        if (share * size > shortest_jump_mm && jumps_a_stop(system, share * step, trial, work)) continue;
        if (within_rounding || soft_energy(system, trial, load_share, work) <= energy - 1e-4 * share * promised) {
          std::swap(state, trial);
          advanced = true;
          size *= share;
          break;
        }
      }
      if (!advanced) {
        shift = std::max(4 * shift, 1e-3);
        continue;
      }
      if (size < settled_step_mm && shift < 1e-2) {
        out.settled = true;
        return out;
      }
      shift = shift < 1e-6 ? 0 : shift / 8;
    }
    if (!advanced) break;
    if (from && distance_mm(system, *from, state) > farthest_mm(out.first_step_mm)) return out;
  }
  // No step lowers the energy any more: settled as far as numbers go.
  out.settled = out.steps < most_descent_steps;
  return out;
}

namespace {

std::vector<Eigen::Index> active_bounds(const Work& work) {
  std::vector<Eigen::Index> active;
  for (std::size_t b = 0; b < work.bound.size(); ++b)
    if (work.bound[b].active) active.push_back(static_cast<Eigen::Index>(b));
  return active;
}

// Bounds that contradict each other leave a compromise: no state at all.
bool gaps_closed(const Work& work) {
  return std::all_of(work.bound.begin(), work.bound.end(),
                     [](const BoundState& bound) { return !bound.active || std::abs(bound.gap) < widest_closed; });
}

enum class Balance { found, contradiction, none };

// Newton on balance of forces and closed gaps of the active bounds.
Balance newton_on_balance(const System& system, State& state, Work& work) {
  const Eigen::Index n = work.gradient.size();
  State trial;
  double previous = 1e300;
  for (int i = 0; i < most_exact_steps; ++i) {
    evaluate(system, state, Bounds::exact, work);
    const auto active = active_bounds(work);
    const auto k = static_cast<Eigen::Index>(active.size());
    Eigen::MatrixXd K = Eigen::MatrixXd::Zero(n + k, n + k);
    Eigen::VectorXd right(n + k);
    // Unknowns are counted in mm of motion, so that rows and columns compare.
    for (Eigen::Index r = 0; r < n; ++r)
      for (Eigen::Index c = 0; c < n; ++c) K(r, c) = work.hessian(r, c) / (work.scale[r] * work.scale[c]);
    right.head(n) = -work.gradient.cwiseQuotient(work.scale);
    for (Eigen::Index a = 0; a < k; ++a) {
      const Eigen::VectorXd row =
          work.rows.row(active[static_cast<std::size_t>(a)]).transpose().cwiseQuotient(work.scale);
      K.block(n + a, 0, 1, n) = row.transpose();
      K.block(0, n + a, n, 1) = -row;
      right[n + a] = -work.bound[static_cast<std::size_t>(active[static_cast<std::size_t>(a)])].gap;
    }
    const Eigen::VectorXd solution = least_squares(K, right, 1e-11);
    const Eigen::VectorXd step = solution.head(n).cwiseQuotient(work.scale);
    const double size = step_size_mm(work, step);
    if (!(size < 50) || !moved(system, state, step, work, trial)) return Balance::none;
    std::swap(state, trial);
    for (Eigen::Index a = 0; a < k; ++a)
      work.bound[static_cast<std::size_t>(active[static_cast<std::size_t>(a)])].force += solution[n + a];
    if (size < 1e-9 && (i > 0 || size < 1e-12)) {
      // One more evaluation leaves everything in `work` at the final state.
      evaluate(system, state, Bounds::exact, work);
      return gaps_closed(work) ? Balance::found : Balance::contradiction;
    }
    if (i > 6 && size >= previous)
      return size >= 1e-7 ? Balance::none : gaps_closed(work) ? Balance::found : Balance::contradiction;
    previous = size;
  }
  return Balance::none;
}

// Where the active bounds already rule out what a further one forbids, they can't all be met. The further one takes its
// force over from them, and the first that is left without any is let go.
// Source: the ratio test of dual active sets (D. Goldfarb and A. Idnani, Math. Programming 27 (1983) 1).
void make_room_for(Eigen::Index enters, Work& work) {
  const auto active = active_bounds(work);
  const auto k = static_cast<Eigen::Index>(active.size());
  const auto row = [&](Eigen::Index bound) -> Eigen::VectorXd {
    return work.rows.row(bound).transpose().cwiseQuotient(work.scale);
  };
  Eigen::MatrixXd At(work.gradient.size(), k);
  for (Eigen::Index a = 0; a < k; ++a) At.col(a) = row(active[static_cast<std::size_t>(a)]);
  const Eigen::VectorXd wanted = row(enters);
  const Eigen::VectorXd share = least_squares(At, wanted, 1e-11);
  if ((At * share - wanted).norm() > 1e-6 * wanted.norm()) return;
  Eigen::Index leaves = -1;
  double least = 1e300;
  for (Eigen::Index a = 0; a < k; ++a) {
    if (share[a] < 1e-9) continue;
    const double left = work.bound[static_cast<std::size_t>(active[static_cast<std::size_t>(a)])].force / share[a];
    if (left < least) {
      least = left;
      leaves = active[static_cast<std::size_t>(a)];
    }
  }
  if (leaves >= 0) work.bound[static_cast<std::size_t>(leaves)].active = false;
}

double force_slack(const System& system, const Work& work) {
  double greatest = work.load_share * system.weight_n;
  for (const BoundState& bound : work.bound) greatest = std::max(greatest, std::abs(bound.force));
  return 1e-10 * (greatest + 1e-3);
}

}  // namespace

namespace {

// Bounds that can't all be met leave a compromise, with some open. What is left open balances by itself, so forces can be
// shifted along it: the first that is left without any is let go.
// @param before  the bounds with the forces that they had
bool let_one_go(const std::vector<BoundState>& before, Work& work) {
  double widest = 0;
  for (const BoundState& bound : work.bound)
    if (bound.active) widest = std::max(widest, bound.gap);
  Eigen::Index leaves = -1;
  double least = 1e300;
  for (std::size_t b = 0; b < work.bound.size(); ++b) {
    if (!work.bound[b].active || !(work.bound[b].gap > 1e-3 * widest)) continue;
    const double left = std::max(0.0, before[b].force) / work.bound[b].gap;
    if (left < least) {
      least = left;
      leaves = static_cast<Eigen::Index>(b);
    }
  }
  if (leaves < 0) return false;
  work.bound[static_cast<std::size_t>(leaves)].active = false;
  return true;
}

}  // namespace

bool balance_exactly(const System& system, State& state, Work& work, int changes) {
  for (int change = 0; change < changes; ++change) {
    for (BoundState& bound : work.bound)
      if (!bound.active) bound.force = 0;
    const std::vector<BoundState> before = work.bound;
    const Balance balance = newton_on_balance(system, state, work);
    if (balance == Balance::none) return false;
    if (balance == Balance::contradiction) {
      if (!let_one_go(before, work)) return false;
      continue;
    }
    const double slack = force_slack(system, work);
    Eigen::Index worst_pull = -1, worst_gap = -1;
    double pull = -slack, overrun = -gap_slack;
    for (std::size_t b = 0; b < work.bound.size(); ++b) {
      const BoundState& bound = work.bound[b];
      if (bound.active && bound.force < pull) {
        pull = bound.force;
        worst_pull = static_cast<Eigen::Index>(b);
      }
      if (!bound.active && bound.gap < overrun) {
        overrun = bound.gap;
        worst_gap = static_cast<Eigen::Index>(b);
      }
    }
    if (worst_gap >= 0) {
      make_room_for(worst_gap, work);
      work.bound[static_cast<std::size_t>(worst_gap)].active = true;
      continue;
    }
    if (worst_pull < 0) return true;
    // A bound that pulls may do so only because loads can be shared in many ways: one that pushes everywhere will do.
    const std::vector<BoundState> unshared = work.bound;
    share_loads(work);
    bool pushes = true;
    for (const BoundState& bound : work.bound) pushes = pushes && (!bound.active || bound.force >= -slack);
    evaluate(system, state, Bounds::exact, work);
    if (pushes && work.gradient.cwiseQuotient(work.scale).lpNorm<Eigen::Infinity>() < 1e3 * slack) return true;
    for (std::size_t b = 0; b < unshared.size(); ++b) work.bound[b].force = unshared[b].force;
    work.bound[static_cast<std::size_t>(worst_pull)].active = false;
  }
  return false;
}

bool make_exact(const System& system, double load_share, State& state, Work& work) {
  work.load_share = load_share;
  evaluate(system, state, Bounds::soft, work);  // its forces and active bounds are where the exact search begins
  return balance_exactly(system, state, work, most_set_changes);
}

Softest softest_motion(const Work& work) {
  Softest out;
  const Eigen::Index n = work.gradient.size();
  if (n == 0) return out;
  const auto active = active_bounds(work);
  Eigen::MatrixXd A(static_cast<Eigen::Index>(active.size()), n);
  Eigen::MatrixXd H(n, n);
  for (std::size_t a = 0; a < active.size(); ++a)
    A.row(static_cast<Eigen::Index>(a)) = work.rows.row(active[a]).cwiseQuotient(work.scale.transpose());
  for (Eigen::Index r = 0; r < n; ++r)
    for (Eigen::Index c = 0; c < n; ++c) H(r, c) = work.hessian(r, c) / (work.scale[r] * work.scale[c]);
  const Eigen::MatrixXd N = null_space(A);
  if (N.cols() == 0) return out;
  const Eigen::MatrixXd reduced = N.transpose() * H * N;
  const Spectrum found = spectrum(Eigen::MatrixXd(0.5 * (reduced + reduced.transpose())));
  out.curvature = found.values[0];
  out.motion = (N * found.vectors.col(0)).cwiseQuotient(work.scale);
  return out;
}

bool share_loads(Work& work) {
  const auto active = active_bounds(work);
  const auto k = static_cast<Eigen::Index>(active.size());
  const Eigen::Index n = work.gradient.size();
  if (k == 0) return false;
  Eigen::MatrixXd At(n, k);
  Eigen::VectorXd force(k);
  for (Eigen::Index a = 0; a < k; ++a) {
    At.col(a) = work.rows.row(active[static_cast<std::size_t>(a)]).transpose().cwiseQuotient(work.scale);
    force[a] = work.bound[static_cast<std::size_t>(active[static_cast<std::size_t>(a)])].force;
  }
  const Eigen::MatrixXd loose = null_space(At);
  if (loose.cols() == 0) return false;
  bool contacts_loose = false;
  Eigen::VectorXd weight(k);
  for (Eigen::Index a = 0; a < k; ++a) {
    const bool contact = work.bounds[static_cast<std::size_t>(active[static_cast<std::size_t>(a)])].contact;
    weight[a] = contact ? 1 : 1e-5;  // contacts count; stops only keep from being arbitrary
    if (contact && loose.row(a).lpNorm<Eigen::Infinity>() > 1e-9) contacts_loose = true;
  }
  // Balance outweighs smallness by far in the first pass, which only chooses the bounds that carry ...
  constexpr double outweigh = 1e4;
  Eigen::MatrixXd stacked(n + k, k);
  stacked << outweigh * At, Eigen::MatrixXd(weight.asDiagonal());
  Eigen::VectorXd right = Eigen::VectorXd::Zero(n + k);
  right.head(n) = outweigh * (At * force);
  const Eigen::VectorXd rough = nonnegative_least_squares(stacked, right);
  // ... among which the second solves exactly: least sum of squares along what balance leaves open.
  std::vector<Eigen::Index> carry;
  for (Eigen::Index a = 0; a < k; ++a)
    if (rough[a] > 1e-7 * (1e-3 + rough.lpNorm<Eigen::Infinity>())) carry.push_back(a);
  const auto c = static_cast<Eigen::Index>(carry.size());
  Eigen::MatrixXd B(n, c);
  Eigen::VectorXd inverse(c);
  for (Eigen::Index i = 0; i < c; ++i) {
    inverse[i] = 1 / weight[carry[static_cast<std::size_t>(i)]];
    B.col(i) = At.col(carry[static_cast<std::size_t>(i)]) * inverse[i];
  }
  const Eigen::VectorXd exact = least_squares(B, At * force).cwiseProduct(inverse);
  for (Eigen::Index a = 0; a < k; ++a)
    work.bound[static_cast<std::size_t>(active[static_cast<std::size_t>(a)])].force = 0;
  for (Eigen::Index i = 0; i < c; ++i)
    work.bound[static_cast<std::size_t>(active[static_cast<std::size_t>(carry[static_cast<std::size_t>(i)])])].force =
        exact[i];
  return contacts_loose;
}

}  // namespace ridepitch
