#include "ride/hold.hpp"

#include <cmath>

#include "linkage/dense.hpp"
#include "model/index.hpp"

namespace ridepitch {

std::vector<int> moving_wheels(const Mechanism& mechanism) {
  std::vector<int> wheels;
  for (std::size_t i = 0; i < mechanism.wheels.size(); ++i)
    if (!mechanism.wheels[i].fixed) wheels.push_back(static_cast<int>(i));
  return wheels;
}

Freedoms freedoms_at(const Mechanism& mechanism, const Eigen::VectorXd& q) {
  Freedoms out;
  prepare(mechanism, out.closure);
  linearise(mechanism, q, out.closure);
  tangents(out.closure.part, out.T);
  return out;
}

bool wheels_independent(const Mechanism& mechanism, const Eigen::VectorXd& q) {
  const std::vector<int> wheels = moving_wheels(mechanism);
  if (wheels.empty()) return true;
  const Freedoms free = freedoms_at(mechanism, q);
  Eigen::MatrixXd Z(static_cast<Eigen::Index>(wheels.size()), free.T.cols());
  for (Eigen::Index i = 0; i < Z.rows(); ++i)
    Z.row(i) = slopes_along(at(mechanism.wheels, wheels[static_cast<std::size_t>(i)]).height, q, free);
  return matrix_rank(Z, 1e-9) == Z.rows();
}

Eigen::RowVectorXd slopes_along(const Gauge& gauge, const Eigen::VectorXd& q, const Freedoms& free) {
  const GaugeReading reading = read(gauge, q, free.closure.turns);
  Eigen::RowVectorXd slopes(free.T.cols());
  for (Eigen::Index f = 0; f < slopes.size(); ++f) slopes[f] = slope_along(gauge, reading, free.T.col(f));
  return slopes;
}

SpringElement level_spring(const Mechanism& mechanism, int one, int other, double rate_n_per_mm) {
  return {.gauge = {.kind = Gauge::Kind::along,
                    .p = mechanism.wheels[static_cast<std::size_t>(one)].at,
                    .q = mechanism.wheels[static_cast<std::size_t>(other)].at,
                    .dir = Vec2::UnitY()},
          .law = linear_law(rate_n_per_mm, 0)};
}

HeldMechanism hold_wheels(const Mechanism& mechanism, const Eigen::VectorXd& q) {
  HeldMechanism held{mechanism, moving_wheels(mechanism), static_cast<int>(mechanism.ties.size())};
  const std::vector<Turn> turns = turns_at(q);
  for (const int wheel : held.wheels) {
    const Gauge& height = at(mechanism.wheels, wheel).height;
    held.mechanism.ties.push_back(
        {.gauge = height, .target = read(height, q, turns).value, .of = Tie::Of::held_wheel, .index = wheel});
  }
  held.mechanism.rank += static_cast<int>(held.wheels.size());
  return held;
}

void prepare(const HeldMechanism& held, HeldWorkspace& workspace) {
  const Eigen::Index n = held.mechanism.coordinates();
  prepare(held.mechanism, workspace.closure);
  workspace.g.setZero(n);
  workspace.dq.setZero(n);
  workspace.lambda.setZero(static_cast<Eigen::Index>(held.mechanism.ties.size()));
  workspace.W.setZero(n, n);
  workspace.T.setZero(n, held.mechanism.freedoms());
  workspace.Wq.setZero(n, static_cast<Eigen::Index>(held.wheels.size()));
}

namespace {

// Inner freedoms follow: Q -= T (T' W T)^-1 T' W Q, over the motions that the active stops leave.
void let_inner_follow(const Mechanism& mechanism, const Eigen::VectorXd& q, const std::vector<int>& active,
                      HeldWorkspace& workspace, HeldRates& rates) {
  tangents(workspace.closure.part, workspace.T);
  if (!active.empty()) {
    Eigen::MatrixXd A(static_cast<Eigen::Index>(active.size()), workspace.T.cols());
    Eigen::VectorXd right(A.rows());
    for (Eigen::Index w = 0; w < rates.motion.cols(); ++w) {
      for (Eigen::Index i = 0; i < A.rows(); ++i) {
        const Gauge& gauge = mechanism.stops[static_cast<std::size_t>(active[static_cast<std::size_t>(i)])].gauge;
        const GaugeReading reading = read(gauge, q, workspace.closure.turns);
        for (Eigen::Index f = 0; f < A.cols(); ++f) A(i, f) = slope_along(gauge, reading, workspace.T.col(f));
        right[i] = -slope_along(gauge, reading, rates.motion.col(w));
      }
      rates.motion.col(w) += workspace.T * least_squares(A, right);  // the stop stays met while the wheel rises
    }
    workspace.T = workspace.T * null_space(A);
  }
  if (workspace.T.cols() == 0) return;
  const Eigen::MatrixXd inner = workspace.T.transpose() * workspace.W * workspace.T;
  const Eigen::MatrixXd pull = workspace.T.transpose() * (workspace.W * rates.motion);
  for (Eigen::Index w = 0; w < rates.motion.cols(); ++w)
    rates.motion.col(w) -= workspace.T * least_squares(inner, pull.col(w), 1e-12);
}

}  // namespace

void held_rates(const HeldMechanism& held, const Eigen::VectorXd& q, const std::vector<int>& active,
                HeldWorkspace& workspace, HeldRates& rates) {
  const Mechanism& mechanism = held.mechanism;
  const auto w = static_cast<Eigen::Index>(held.wheels.size());
  linearise(mechanism, q, workspace.closure);
  const auto& turns = workspace.closure.turns;
  workspace.g.setZero();
  workspace.W.setZero();
  for (const SpringElement& spring : mechanism.springs) {
    const GaugeReading reading = read(spring.gauge, q, turns);
    add_term(spring.gauge, reading, spring_term(spring, reading.value), q, turns, workspace.g, workspace.W);
  }
  multipliers(workspace.closure.part, workspace.g, workspace.lambda);
  add_tie_curvature(mechanism, workspace.lambda, q, turns, workspace.W);
  rates.load_n = workspace.lambda.segment(held.first_tie, w);
  rates.motion.resize(mechanism.coordinates(), w);
  for (Eigen::Index i = 0; i < w; ++i) {
    follow_tie(held.first_tie + static_cast<int>(i), workspace.closure, workspace.dq);
    rates.motion.col(i) = workspace.dq;
  }
  if (mechanism.freedoms() > 0) let_inner_follow(mechanism, q, active, workspace, rates);
  rates.rate_n_per_mm.resize(w, w);
  workspace.Wq.noalias() = workspace.W * rates.motion;
  rates.rate_n_per_mm.noalias() = rates.motion.transpose() * workspace.Wq;
  rates.finite = rates.motion.allFinite() && rates.rate_n_per_mm.allFinite();
}

bool at_dead_point(const Mechanism& mechanism, const Eigen::VectorXd& q, int wheel) {
  const Freedoms free = freedoms_at(mechanism, q);
  const Eigen::RowVectorXd rise = slopes_along(at(mechanism.wheels, wheel).height, q, free);
  for (Eigen::Index f = 0; f < rise.size(); ++f)
    if (std::abs(rise[f]) > least_rise_share * motion_mm(mechanism, free.T.col(f))) return false;
  return true;
}

bool rates_told(const Mechanism& mechanism, const HeldRates& rates) {
  if (!rates.finite) return false;
  for (Eigen::Index w = 0; w < rates.motion.cols(); ++w)
    if (motion_mm(mechanism, rates.motion.col(w)) > 1 / least_rise_share) return false;
  return true;
}

double motion_ratio(const SpringElement& spring, const Eigen::VectorXd& q, const std::vector<Turn>& turns,
                    const Eigen::VectorXd& dq) {
  return -slope_along(spring.gauge, read(spring.gauge, q, turns), dq);
}

}  // namespace ridepitch
