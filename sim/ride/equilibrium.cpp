#include "ride/equilibrium.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>

#include "linkage/dense.hpp"

namespace ridepitch {

Eigen::VectorXd row_per_mm(const Work& work, std::size_t bound) {
  return work.rows.row(static_cast<Eigen::Index>(bound)).transpose().cwiseQuotient(work.scale);
}

ActiveSet active_set(const Work& work) {
  ActiveSet active;
  for (std::size_t b = 0; b < work.bound.size(); ++b)
    if (work.bound[b].active) active.bounds.push_back(b);
  active.rows.resize(static_cast<Eigen::Index>(active.bounds.size()), work.gradient.size());
  for (std::size_t a = 0; a < active.bounds.size(); ++a)
    active.rows.row(static_cast<Eigen::Index>(a)) = row_per_mm(work, active.bounds[a]).transpose();
  return active;
}

Eigen::MatrixXd hessian_per_mm(const Work& work) {
  Eigen::MatrixXd H(work.hessian.rows(), work.hessian.cols());
  for (Eigen::Index r = 0; r < H.rows(); ++r)
    for (Eigen::Index c = 0; c < H.cols(); ++c) H(r, c) = work.hessian(r, c) / (work.scale[r] * work.scale[c]);
  return H;
}

FreeMotions free_motions(const Work& work) {
  const Eigen::MatrixXd N = null_space(active_set(work).rows);
  if (N.cols() == 0) return {Eigen::VectorXd(), Eigen::MatrixXd(work.gradient.size(), 0)};
  const Eigen::MatrixXd H = N.transpose() * hessian_per_mm(work) * N;
  const Spectrum found = spectrum(Eigen::MatrixXd(0.5 * (H + H.transpose())));
  return {found.values, work.scale.cwiseInverse().asDiagonal() * N * found.vectors};
}
namespace {

constexpr double infinity = std::numeric_limits<double>::infinity();

// A vehicle that lies over by more stands on no wheel; one this far from the floor has left it.
constexpr double tipped_rad = 1.3;
constexpr double lost_mm = 1e5;

// ------------------------------------------------------------------------------------------ descent

constexpr int most_descent_steps = 400;
constexpr double longest_step_mm = 6.0;    // longer ones may leave the potential well
constexpr double shortest_jump_mm = 0.02;  // a step under it passes no stop

// Levenberg's shift [N/mm] is added to the stiffness of every motion until the energy falls.
constexpr double least_shift = 1e-12;  // always there: a motion without any stiffness would leave no step
constexpr double first_shift = 1e-3;   // of a soft rubber band
constexpr double shift_growth = 4, shift_decay = 8;
constexpr double no_shift = 1e-6;     // under it the next step is Newton's own
constexpr double small_shift = 1e-2;  // with a greater one a step may be short though there is far to go
constexpr int most_shifts = 60;       // 4^60 is stiffer than anything

// Along a step: shares of it are tried, each a quarter of the last.
constexpr double shorter = 4, shortest_share = 1e-4;
constexpr double least_gain_share = 1e-4;     // of what the slope promises (Nocedal and Wright, 3.1: c1)
constexpr double rounding_of_energy = 1e-12;  // share of the energy; a promise under it can't be checked

// Whether a step from where `work` was evaluated seems to lead past a stop: straight on it would be met, but it is open at the
// step's end. Met on a short part of the path only, it was jumped over.
bool jumps_a_stop(const System& system, const Eigen::VectorXd& step, const State& end, Work& work) {
  for (std::size_t b = 0; b < work.bounds.size(); ++b) {
    const double gap = work.bound[b].gap, change = work.rows.row(static_cast<Eigen::Index>(b)).dot(step);
    if (work.bounds[b].contact || change >= 0 || gap + change >= 0) continue;
    if (gap_of_stop(system, end, work.bounds[b], work) > 0) return true;
  }
  return false;
}

/// A step that a descent tries.
struct Attempt {
  State state;
  Eigen::VectorXd step;
  Eigen::MatrixXd shifted;
  double shift = 0;
  double newton_mm = 0, size_mm = 0;  ///< of the step before and after it was cut short
};

// Newton's step with the shift, no longer than allowed. @returns false where the shifted stiffness is not positive
bool find_step(const Work& work, Attempt& attempt) {
  attempt.shifted = work.hessian;
  for (Eigen::Index i = 0; i < attempt.step.size(); ++i)
    attempt.shifted(i, i) += (attempt.shift + least_shift) * work.scale[i] * work.scale[i];
  attempt.step = -work.gradient;
  if (!solve_positive(attempt.shifted, attempt.step)) return false;
  attempt.size_mm = attempt.newton_mm = step_size_mm(work, attempt.step);
  if (attempt.size_mm > longest_step_mm) {
    attempt.step *= longest_step_mm / attempt.size_mm;
    attempt.size_mm = longest_step_mm;
  }
  return true;
}

// Takes as much of the step as lowers the energy. @returns false if no share of it does
bool take_step(const System& system, double energy, State& state, Work& work, Attempt& attempt) {
  const double promised = -work.gradient.dot(attempt.step);
  const bool within_rounding = promised < rounding_of_energy * (1 + std::abs(energy));
  for (double share = 1; share > shortest_share; share /= shorter) {
    if (!moved(system, state, share * attempt.step, work, attempt.state)) continue;
    if (share * attempt.size_mm > shortest_jump_mm && jumps_a_stop(system, share * attempt.step, attempt.state, work))
      continue;
    if (!within_rounding &&
        soft_energy(system, attempt.state, work.load_share, work) > energy - least_gain_share * share * promised)
      continue;
    std::swap(state, attempt.state);
    attempt.size_mm *= share;
    return true;
  }
  return false;
}

}  // namespace

bool tipped(const System& system, const State& state) {
  return system.on_ground && (!(std::abs(state.pitch_rad) < tipped_rad) || !(std::abs(state.roll_rad) < tipped_rad) ||
                              !(std::abs(state.height_mm) < lost_mm));
}

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
  Attempt attempt{.state = {}, .step = Eigen::VectorXd(n), .shifted = Eigen::MatrixXd(n, n)};
  for (; out.steps < most_descent_steps; ++out.steps) {
    evaluate(system, state, Bounds::soft, work);
    if (tipped(system, state)) return out;
    const double energy = work.energy_n_mm;
    bool advanced = false;
    for (int tries = 0; tries < most_shifts && !advanced; ++tries) {
      const bool found = find_step(work, attempt);
      if (found && out.steps == 0 && tries == 0) out.first_step_mm = attempt.newton_mm;
      advanced = found && take_step(system, energy, state, work, attempt);
      if (!advanced) attempt.shift = std::max(shift_growth * attempt.shift, first_shift);
    }
    if (!advanced) break;
    if (attempt.size_mm < settled_step_mm && attempt.shift < small_shift) {
      out.settled = true;
      return out;
    }
    attempt.shift = attempt.shift < no_shift ? 0 : attempt.shift / shift_decay;
    if (from && distance_mm(system, *from, state) > farthest_mm(out.first_step_mm)) return out;
  }
  // No step lowers the energy any more: settled as far as numbers go.
  out.settled = out.steps < most_descent_steps;
  return out;
}

// ----------------------------------------------------------------------------------- exact balance

namespace {

constexpr int most_exact_steps = 25;
constexpr int most_set_changes = 40;
constexpr double widest_closed = 1e-6;  // mm or rad: more than rounding leaves of a closed gap
constexpr double rank_threshold = 1e-11;

// Newton's steps on the balance [mm].
constexpr double longest_exact_step_mm = 50;   // a longer one does not start near the balance
constexpr double exact_step_mm = 1e-9;         // the next one is about its square
constexpr double first_exact_step_mm = 1e-12;  // of one that starts in balance
constexpr double stalled_step_mm = 1e-7;       // steps that shrink no more are rounding only under it
constexpr int steps_that_shrink = 6;           // each should be shorter than the last after these

// Bounds that contradict each other leave a compromise: no state at all.
bool gaps_closed(const Work& work) {
  return std::all_of(work.bound.begin(), work.bound.end(),
                     [](const BoundState& bound) { return !bound.active || std::abs(bound.gap) < widest_closed; });
}

enum class Balance { found, contradiction, none };

Balance judged(const Work& work) { return gaps_closed(work) ? Balance::found : Balance::contradiction; }

// Newton's step on balance of forces and closed gaps of the active bounds:
//     H y - A' f = -g,   A y = -gap        y: motion in mm,  A, f: rows and forces of the active bounds
Eigen::VectorXd balance_step(const Work& work, const ActiveSet& active) {
  const Eigen::Index n = work.gradient.size(), k = active.rows.rows();
  Eigen::MatrixXd K = Eigen::MatrixXd::Zero(n + k, n + k);
  Eigen::VectorXd right(n + k);
  K.topLeftCorner(n, n) = hessian_per_mm(work);
  K.bottomLeftCorner(k, n) = active.rows;
  K.topRightCorner(n, k) = -active.rows.transpose();
  right.head(n) = -work.gradient.cwiseQuotient(work.scale);
  for (Eigen::Index a = 0; a < k; ++a) right[n + a] = -work.bound[active.bounds[static_cast<std::size_t>(a)]].gap;
  return least_squares(K, right, rank_threshold);
}

Balance newton_on_balance(const System& system, State& state, Work& work) {
  const Eigen::Index n = work.gradient.size();
  State trial;
  double previous = infinity;
  for (int i = 0; i < most_exact_steps; ++i) {
    evaluate(system, state, Bounds::exact, work);
    const ActiveSet active = active_set(work);
    const Eigen::VectorXd solution = balance_step(work, active);
    const Eigen::VectorXd step = solution.head(n).cwiseQuotient(work.scale);
    const double size = step_size_mm(work, step);
    if (!(size < longest_exact_step_mm) || !moved(system, state, step, work, trial)) return Balance::none;
    std::swap(state, trial);
    for (std::size_t a = 0; a < active.bounds.size(); ++a)
      work.bound[active.bounds[a]].force += solution[n + static_cast<Eigen::Index>(a)];
    if (size < exact_step_mm && (i > 0 || size < first_exact_step_mm)) {
      // One more evaluation leaves everything in `work` at the final state.
      evaluate(system, state, Bounds::exact, work);
      return judged(work);
    }
    if (i > steps_that_shrink && size >= previous) return size >= stalled_step_mm ? Balance::none : judged(work);
    previous = size;
  }
  return Balance::none;
}

// Where the active bounds already rule out what a further one forbids, they can't all be met. The further one takes its
// force over from them, and the first that is left without any is let go.
// Source: the ratio test of dual active sets (D. Goldfarb and A. Idnani, Math. Programming 27 (1983) 1).
void make_room_for(std::size_t enters, Work& work) {
  constexpr double ruled_out_share = 1e-6;  // of its row, what the others may leave of it
  constexpr double least_share = 1e-9;      // under it a bound gives nothing up
  const ActiveSet active = active_set(work);
  const Eigen::VectorXd wanted = row_per_mm(work, enters);
  const Eigen::VectorXd share = least_squares(active.rows.transpose(), wanted, rank_threshold);
  if ((active.rows.transpose() * share - wanted).norm() > ruled_out_share * wanted.norm()) return;
  BoundState* leaves = nullptr;
  double least = infinity;
  for (std::size_t a = 0; a < active.bounds.size(); ++a) {
    const double given_up = share[static_cast<Eigen::Index>(a)];
    BoundState& bound = work.bound[active.bounds[a]];
    if (given_up < least_share || !(bound.force / given_up < least)) continue;
    least = bound.force / given_up;
    leaves = &bound;
  }
  if (leaves) leaves->active = false;
}

// Bounds that can't all be met leave a compromise, with some open. What is left open balances by itself, so forces can be
// shifted along it: the first that is left without any is let go.
// @param before  the bounds with the forces that they had
bool let_one_go(const std::vector<BoundState>& before, Work& work) {
  constexpr double open_share = 1e-3;  // of the widest gap: a narrower one is rounding
  double widest = 0;
  for (const BoundState& bound : work.bound)
    if (bound.active) widest = std::max(widest, bound.gap);
  BoundState* leaves = nullptr;
  double least = infinity;
  for (std::size_t b = 0; b < work.bound.size(); ++b) {
    BoundState& bound = work.bound[b];
    if (!bound.active || !(bound.gap > open_share * widest)) continue;
    const double left = std::max(0.0, before[b].force) / bound.gap;
    if (!(left < least)) continue;
    least = left;
    leaves = &bound;
  }
  if (leaves) leaves->active = false;
  return leaves != nullptr;
}

// A pull that is rounding beside the greatest force; forces under a thousandth of a newton do not count for that.
double force_slack(const System& system, const Work& work) {
  constexpr double rounding_share = 1e-10, least_force_n = 1e-3;
  double greatest = work.load_share * system.weight_n;
  for (const BoundState& bound : work.bound) greatest = std::max(greatest, std::abs(bound.force));
  return rounding_share * (greatest + least_force_n);
}

// A bound that pulls may do so only because loads can be shared in many ways: whether sharing leaves all of them pushing. If
// not, the forces stay as they were.
bool sharing_helps(const System& system, const State& state, double slack, Work& work) {
  constexpr double times_slack = 1e3;  // of the balance, which sums many forces
  const std::vector<BoundState> unshared = work.bound;
  share_loads(work);
  const bool pushes = std::all_of(work.bound.begin(), work.bound.end(),
                                  [&](const BoundState& bound) { return !bound.active || bound.force >= -slack; });
  evaluate(system, state, Bounds::exact, work);
  if (pushes && work.gradient.cwiseQuotient(work.scale).lpNorm<Eigen::Infinity>() < times_slack * slack) return true;
  for (std::size_t b = 0; b < unshared.size(); ++b) work.bound[b].force = unshared[b].force;
  return false;
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
    BoundState *puller = nullptr, *overrun = nullptr;  // the worst of each
    for (BoundState& bound : work.bound) {
      if (bound.active && bound.force < (puller ? puller->force : -slack)) puller = &bound;
      if (!bound.active && bound.gap < (overrun ? overrun->gap : -closed_gap)) overrun = &bound;
    }
    if (overrun) {
      make_room_for(static_cast<std::size_t>(overrun - work.bound.data()), work);
      overrun->active = true;
    } else if (!puller || sharing_helps(system, state, slack, work)) {
      return true;
    } else {
      puller->active = false;
    }
  }
  return false;
}

bool make_exact(const System& system, double load_share, State& state, Work& work) {
  work.load_share = load_share;
  evaluate(system, state, Bounds::soft, work);  // its forces and active bounds are where the exact search begins
  return balance_exactly(system, state, work, most_set_changes);
}

bool share_loads(Work& work) {
  constexpr double weight_of_stop = 1e-5;  // contacts count; stops only keep from being arbitrary
  constexpr double loose_share = 1e-9;     // under it a force is unique
  constexpr double outweigh = 1e4;         // balance outweighs smallness by far in the first pass
  constexpr double rounding_share = 1e-7;  // of the greatest force: the first pass is this rough
  constexpr double least_force_n = 1e-3;
  const ActiveSet active = active_set(work);
  const Eigen::Index n = active.rows.cols(), k = active.rows.rows();
  if (k == 0) return false;
  const Eigen::MatrixXd At = active.rows.transpose();
  const Eigen::MatrixXd loose = null_space(At);
  if (loose.cols() == 0) return false;
  bool contacts_loose = false;
  Eigen::VectorXd force(k), weight(k);
  for (Eigen::Index a = 0; a < k; ++a) {
    const std::size_t bound = active.bounds[static_cast<std::size_t>(a)];
    const bool contact = work.bounds[bound].contact;
    force[a] = work.bound[bound].force;
    weight[a] = contact ? 1 : weight_of_stop;
    if (contact && loose.row(a).lpNorm<Eigen::Infinity>() > loose_share) contacts_loose = true;
  }
  // The first pass only chooses the bounds that carry ...
  Eigen::MatrixXd stacked(n + k, k);
  stacked << outweigh * At, Eigen::MatrixXd(weight.asDiagonal());
  Eigen::VectorXd right = Eigen::VectorXd::Zero(n + k);
  right.head(n) = outweigh * (At * force);
  const Eigen::VectorXd rough = nonnegative_least_squares(stacked, right);
  std::vector<Eigen::Index> carry;
  for (Eigen::Index a = 0; a < k; ++a)
    if (rough[a] > rounding_share * (least_force_n + rough.lpNorm<Eigen::Infinity>())) carry.push_back(a);
  // ... among which the second solves exactly: least sum of squares along what balance leaves open.
  const auto c = static_cast<Eigen::Index>(carry.size());
  Eigen::MatrixXd B(n, c);
  for (Eigen::Index i = 0; i < c; ++i) {
    const Eigen::Index a = carry[static_cast<std::size_t>(i)];
    B.col(i) = At.col(a) / weight[a];
  }
  const Eigen::VectorXd exact = least_squares(B, At * force);
  for (const std::size_t bound : active.bounds) work.bound[bound].force = 0;
  for (Eigen::Index i = 0; i < c; ++i) {
    const Eigen::Index a = carry[static_cast<std::size_t>(i)];
    work.bound[active.bounds[static_cast<std::size_t>(a)]].force = exact[i] / weight[a];
  }
  return contacts_loose;
}

namespace {

// Whether one bound that is met without carrying could carry, others giving up for it what they carry, so that a contact
// force changes: a motion d of the forces with A' d = 0, d >= 0 wherever nothing is carried.
bool could_carry(const Work& work, const ActiveSet& met, std::size_t which, double nothing_n) {
  constexpr double balances = 1e-7, moves = 1e-6;  // share of the row; of the force at `which`
  const Eigen::MatrixXd At = met.rows.transpose();
  std::vector<Eigen::Index> carrying, idle;
  for (Eigen::Index a = 0; a < At.cols(); ++a)
    if (a != static_cast<Eigen::Index>(which))
      (work.bound[met.bounds[static_cast<std::size_t>(a)]].force > nothing_n ? carrying : idle).push_back(a);
  const auto columns = [&](const std::vector<Eigen::Index>& list) {
    Eigen::MatrixXd out(At.rows(), static_cast<Eigen::Index>(list.size()));
    for (std::size_t i = 0; i < list.size(); ++i) out.col(static_cast<Eigen::Index>(i)) = At.col(list[i]);
    return out;
  };
  const Eigen::MatrixXd C = columns(carrying), I = columns(idle);
  const Eigen::VectorXd own = At.col(static_cast<Eigen::Index>(which));
  const Eigen::MatrixXd apart = null_space(C.transpose());  // what those that carry can't balance, the idle must
  Eigen::VectorXd rest = own, d_idle = Eigen::VectorXd::Zero(I.cols());
  if (I.cols() > 0 && apart.cols() > 0)
    d_idle = nonnegative_least_squares(apart.transpose() * I, -(apart.transpose() * own));
  rest += I * d_idle;
  const Eigen::VectorXd d_carrying = least_squares(C, -rest);
  if ((rest + C * d_carrying).norm() > balances * own.norm()) return false;
  const auto contact = [&](Eigen::Index a) { return work.bounds[met.bounds[static_cast<std::size_t>(a)]].contact; };
  for (std::size_t i = 0; i < carrying.size(); ++i)
    if (contact(carrying[i]) && std::abs(d_carrying[static_cast<Eigen::Index>(i)]) > moves) return true;
  return false;
}

}  // namespace

bool share_loads_over_all_met(Work& work) {
  double greatest = 0;
  std::vector<std::size_t> idle;
  for (std::size_t b = 0; b < work.bound.size(); ++b) {
    greatest = std::max(greatest, work.bound[b].force);
    if (!work.bound[b].active && std::abs(work.bound[b].gap) < closed_gap) idle.push_back(b);
  }
  const double nothing_n = 1e-9 * greatest;
  for (const std::size_t b : idle) {
    work.bound[b].active = true;
    const ActiveSet met = active_set(work);
    const auto which = std::find(met.bounds.begin(), met.bounds.end(), b) - met.bounds.begin();
    work.bound[b].active = could_carry(work, met, static_cast<std::size_t>(which), nothing_n);
  }
  const bool loose = share_loads(work);
  for (const std::size_t b : idle) work.bound[b].active = work.bound[b].force > nothing_n;
  return loose;
}

}  // namespace ridepitch
