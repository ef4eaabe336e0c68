#include "linkage/closure.hpp"

#include <cmath>

namespace ridepitch {
namespace {

constexpr int most_iterations = 12;
// Newton's next error is about the square of this one's: a step under it leaves nothing to gain.
constexpr double last_step = 1e-7;
// After a step under this one the same factors serve once more: what they still leave is less than rounding where the
// second step's square over the first, the third of a geometric row, is under `left_over`.
constexpr double step_of_same_factors = 2e-5, left_over = 1e-14;
// A redundant tie is left out of the solve; it must be met all the same [mm or rad].
constexpr double redundant_slack = 1e-6;

void put_row(const Gauge& gauge, const GaugeReading& reading, Eigen::Index row, Eigen::MatrixXd& J) {
  if (gauge.p.body != ground)
    for (int k = 0; k < 3; ++k) J(row, 3 * gauge.p.body + k) += reading.slope[static_cast<std::size_t>(k)];
  if (gauge.q.body != ground)
    for (int k = 0; k < 3; ++k) J(row, 3 * gauge.q.body + k) += reading.slope[static_cast<std::size_t>(3 + k)];
}

}  // namespace

void prepare(const Mechanism& mechanism, Closure& closure) {
  const auto rows = static_cast<Eigen::Index>(mechanism.ties.size());
  const Eigen::Index cols = mechanism.coordinates();
  closure.turns.resize(static_cast<std::size_t>(mechanism.bodies));
  closure.residual.setZero(rows);
  closure.right_side.setZero(rows);
  closure.J.setZero(rows, cols);
  closure.step.setZero(cols);
  closure.part.lu.setZero(rows, cols);
  closure.rank = mechanism.rank;
}

void set_turns(const Eigen::VectorXd& q, std::vector<Turn>& turns) {
  for (std::size_t b = 0; b < turns.size(); ++b) {
    const double theta = q[3 * static_cast<Eigen::Index>(b) + 2];
    turns[b] = {std::cos(theta), std::sin(theta)};
  }
}

std::vector<Turn> turns_at(const Eigen::VectorXd& q) {
  std::vector<Turn> turns(static_cast<std::size_t>(q.size() / 3));
  set_turns(q, turns);
  return turns;
}

Vec2 position(const BodyPoint& point, const Eigen::VectorXd& q) {
  if (point.body == ground) return point.p_B;
  const Eigen::Index i = 3 * point.body;
  const double c = std::cos(q[i + 2]), s = std::sin(q[i + 2]);
  return {q[i] + (c * point.p_B.x() - s * point.p_B.y()), q[i + 1] + (s * point.p_B.x() + c * point.p_B.y())};
}

void measure_ties(const Mechanism& mechanism, const Eigen::VectorXd& q, Closure& closure) {
  set_turns(q, closure.turns);
  Eigen::Index row = 0;
  for (const Tie& tie : mechanism.ties) closure.residual[row++] = read(tie.gauge, q, closure.turns).value - tie.target;
}

void linearise(const Mechanism& mechanism, const Eigen::VectorXd& q, Closure& closure) {
  set_turns(q, closure.turns);
  closure.J.setZero();
  Eigen::Index row = 0;
  for (const Tie& tie : mechanism.ties) {
    const GaugeReading reading = read(tie.gauge, q, closure.turns);
    closure.residual[row] = reading.value - tie.target;
    put_row(tie.gauge, reading, row++, closure.J);
  }
  factor(closure.J, mechanism.column_weight, closure.rank, 0, closure.part);
}

Closure linearised(const Mechanism& mechanism, const Eigen::VectorXd& q) {
  Closure closure;
  prepare(mechanism, closure);
  linearise(mechanism, q, closure);
  return closure;
}

bool close(const Mechanism& mechanism, Eigen::VectorXd& q, Closure& closure) {
  if (mechanism.bodies == 0) {
    prepare(mechanism, closure);
    return true;
  }
  double previous = 1e300;
  for (int i = 0; i < most_iterations; ++i) {
    linearise(mechanism, q, closure);
    if (closure.part.rank < closure.rank) return false;
    solve_following(closure.part, closure.residual, closure.step);
    q -= closure.step;
    double size = closure.step.lpNorm<Eigen::Infinity>();
    if (!(size < 1e6)) return false;
    bool arrived = size < last_step;
    if (!arrived && size < step_of_same_factors) {
      measure_ties(mechanism, q, closure);
      solve_following(closure.part, closure.residual, closure.step);
      q -= closure.step;
      const double again = closure.step.lpNorm<Eigen::Infinity>();
      arrived = again * again < left_over * size;
      size = again;
    }
    if (arrived) {
      if (closure.rank == static_cast<int>(closure.residual.size())) return true;
      measure_ties(mechanism, q, closure);
      return closure.residual.lpNorm<Eigen::Infinity>() < redundant_slack;
    }
    if (i > 4 && size > previous) return false;  // past the first steps Newton must gain
    previous = size;
  }
  return false;
}

bool close(const Mechanism& mechanism, Eigen::VectorXd& q) {
  Closure closure;
  prepare(mechanism, closure);
  return close(mechanism, q, closure);
}

void follow_tie(int tie, Closure& closure, Eigen::VectorXd& dq) {
  closure.right_side.setZero();
  closure.right_side[tie] = 1;
  solve_following(closure.part, closure.right_side, dq);
}

Eigen::RowVectorXd slopes_along(const Gauge& gauge, const Eigen::VectorXd& q, const Eigen::MatrixXd& motions) {
  Eigen::VectorXd gradient = Eigen::VectorXd::Zero(motions.rows());
  add_slope(gauge, read(gauge, q, turns_at(q)), 1, gradient);
  return gradient.transpose() * motions;
}

}  // namespace ridepitch
