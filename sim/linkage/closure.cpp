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

void prepare(const Mechanism& mechanism, Closure& room) {
  const auto rows = static_cast<Eigen::Index>(mechanism.ties.size());
  const Eigen::Index cols = mechanism.coordinates();
  room.turns.resize(static_cast<std::size_t>(mechanism.bodies));
  room.residual.setZero(rows);
  room.right_side.setZero(rows);
  room.J.setZero(rows, cols);
  room.step.setZero(cols);
  room.part.lu.setZero(rows, cols);
  room.rank = mechanism.rank;
}

void set_turns(const Eigen::VectorXd& q, std::vector<Turn>& turns) {
  for (std::size_t b = 0; b < turns.size(); ++b) {
    const double theta = q[3 * static_cast<Eigen::Index>(b) + 2];
    turns[b] = {std::cos(theta), std::sin(theta)};
  }
}

void measure_ties(const Mechanism& mechanism, const Eigen::VectorXd& q, Closure& room) {
  set_turns(q, room.turns);
  Eigen::Index row = 0;
  for (const Tie& tie : mechanism.ties) room.residual[row++] = read(tie.gauge, q, room.turns).value - tie.target;
}

void linearise(const Mechanism& mechanism, const Eigen::VectorXd& q, Closure& room) {
  set_turns(q, room.turns);
  room.J.setZero();
  Eigen::Index row = 0;
  for (const Tie& tie : mechanism.ties) {
    const GaugeReading reading = read(tie.gauge, q, room.turns);
    room.residual[row] = reading.value - tie.target;
    put_row(tie.gauge, reading, row++, room.J);
  }
  factor(room.J, mechanism.column_weight, room.rank, 0, room.part);
}

bool close(const Mechanism& mechanism, Eigen::VectorXd& q, Closure& room) {
  if (mechanism.bodies == 0) {
    prepare(mechanism, room);
    return true;
  }
  double previous = 1e300;
  for (int i = 0; i < most_iterations; ++i) {
    linearise(mechanism, q, room);
    if (room.part.rank < room.rank) return false;
    solve_following(room.part, room.residual, room.step);
    q -= room.step;
    double size = room.step.lpNorm<Eigen::Infinity>();
    if (!(size < 1e6)) return false;
    bool arrived = size < last_step;
    if (!arrived && size < step_of_same_factors) {
      measure_ties(mechanism, q, room);
      solve_following(room.part, room.residual, room.step);
      q -= room.step;
      const double again = room.step.lpNorm<Eigen::Infinity>();
      arrived = again * again < left_over * size;
      size = again;
    }
    if (arrived) {
      if (room.rank == static_cast<int>(room.residual.size())) return true;
      measure_ties(mechanism, q, room);
      return room.residual.lpNorm<Eigen::Infinity>() < redundant_slack;
    }
    if (i > 4 && size > previous) return false;  // past the first steps Newton must gain
    previous = size;
  }
  return false;
}

void follow_tie(int tie, Closure& room, Eigen::VectorXd& dq) {
  room.right_side.setZero();
  room.right_side[tie] = 1;
  solve_following(room.part, room.right_side, dq);
}

}  // namespace ridepitch
