#include "ride/hold.hpp"

#include "linkage/dense.hpp"

namespace ridepitch {

std::vector<int> moving_wheels(const Mechanism& mechanism) {
  std::vector<int> wheels;
  for (std::size_t i = 0; i < mechanism.wheels.size(); ++i)
    if (!mechanism.wheels[i].fixed) wheels.push_back(static_cast<int>(i));
  return wheels;
}

bool wheels_independent(const Mechanism& mechanism, const Eigen::VectorXd& q) {
  const std::vector<int> wheels = moving_wheels(mechanism);
  const auto count = static_cast<Eigen::Index>(wheels.size());
  if (count > mechanism.freedoms()) return false;
  if (count == 0) return true;
  Closure room;
  prepare(mechanism, room);
  linearise(mechanism, q, room);
  Eigen::MatrixXd T;
  tangents(room.part, T);
  Eigen::MatrixXd Z(count, T.cols());
  for (Eigen::Index i = 0; i < count; ++i) {
    const Gauge& height = mechanism.wheels[static_cast<std::size_t>(wheels[static_cast<std::size_t>(i)])].height;
    const GaugeReading reading = read(height, q, room.turns);
    for (Eigen::Index f = 0; f < T.cols(); ++f) Z(i, f) = slope_along(height, reading, T.col(f));
  }
  return matrix_rank(Z, 1e-9) == count;
}

SpringElement level_spring(const Mechanism& mechanism, int one, int other, double rate_n_per_mm) {
  SpringElement spring;
  spring.torsion = true;  // linear about 0, whatever its gauge reads
  spring.rate_n_mm_per_rad = rate_n_per_mm;
  spring.gauge = {.kind = Gauge::Kind::along,
                  .p = mechanism.wheels[static_cast<std::size_t>(one)].at,
                  .q = mechanism.wheels[static_cast<std::size_t>(other)].at,
                  .dir = Vec2::UnitY()};
  return spring;
}

HeldMechanism hold_wheels(const Mechanism& mechanism, const Eigen::VectorXd& q) {
  HeldMechanism held{mechanism, moving_wheels(mechanism), static_cast<int>(mechanism.ties.size())};
  std::vector<Turn> turns(static_cast<std::size_t>(mechanism.bodies));
  set_turns(q, turns);
  for (const int wheel : held.wheels) {
    const Gauge& height = mechanism.wheels[static_cast<std::size_t>(wheel)].height;
    held.mechanism.ties.push_back(
        {.gauge = height, .target = read(height, q, turns).value, .of = Tie::Of::held_wheel, .index = wheel});
  }
  held.mechanism.rank += static_cast<int>(held.wheels.size());
  return held;
}

void prepare(const HeldMechanism& held, HeldRoom& room) {
  const Eigen::Index n = held.mechanism.coordinates();
  prepare(held.mechanism, room.closure);
  room.g.setZero(n);
  room.dq.setZero(n);
  room.lambda.setZero(static_cast<Eigen::Index>(held.mechanism.ties.size()));
  room.W.setZero(n, n);
  room.T.setZero(n, held.mechanism.freedoms());
  room.Wq.setZero(n, static_cast<Eigen::Index>(held.wheels.size()));
}

namespace {

// Inner freedoms follow: Q -= T (T' W T)^-1 T' W Q, over the motions that the carrying stops leave.
void let_inner_follow(const Mechanism& mechanism, const Eigen::VectorXd& q, const std::vector<int>& carrying,
                      HeldRoom& room, HeldRates& rates) {
  tangents(room.closure.part, room.T);
  if (!carrying.empty()) {
    Eigen::MatrixXd A(static_cast<Eigen::Index>(carrying.size()), room.T.cols());
    Eigen::VectorXd right(A.rows());
    for (Eigen::Index w = 0; w < rates.motion.cols(); ++w) {
      for (Eigen::Index i = 0; i < A.rows(); ++i) {
        const Gauge& gauge = mechanism.stops[static_cast<std::size_t>(carrying[static_cast<std::size_t>(i)])].gauge;
        const GaugeReading reading = read(gauge, q, room.closure.turns);
        for (Eigen::Index f = 0; f < A.cols(); ++f) A(i, f) = slope_along(gauge, reading, room.T.col(f));
        right[i] = -slope_along(gauge, reading, rates.motion.col(w));
      }
      rates.motion.col(w) += room.T * least_squares(A, right);  // the stop stays met while the wheel rises
    }
    room.T = room.T * null_space(A);
  }
  if (room.T.cols() == 0) return;
  const Eigen::MatrixXd inner = room.T.transpose() * room.W * room.T;
  const Eigen::MatrixXd pull = room.T.transpose() * (room.W * rates.motion);
  for (Eigen::Index w = 0; w < rates.motion.cols(); ++w)
    rates.motion.col(w) -= room.T * least_squares(inner, pull.col(w), 1e-12);
}

}  // namespace

void held_rates(const HeldMechanism& held, const Eigen::VectorXd& q, const std::vector<int>& carrying, HeldRoom& room,
                HeldRates& rates) {
  const Mechanism& mechanism = held.mechanism;
  const auto w = static_cast<Eigen::Index>(held.wheels.size());
  linearise(mechanism, q, room.closure);
  const auto& turns = room.closure.turns;
  room.g.setZero();
  room.W.setZero();
  for (const SpringElement& spring : mechanism.springs) {
    const GaugeReading reading = read(spring.gauge, q, turns);
    const SpringForce force = element_force(spring, reading.value);
    add_slope(spring.gauge, reading, -spring.count * force.push_n, room.g);
    add_square(spring.gauge, reading, spring.count * force.stiffness_n_per_mm, room.W);
    add_curvature(spring.gauge, reading, -spring.count * force.push_n, q, turns, room.W);
  }
  multipliers(room.closure.part, room.g, room.lambda);
  for (std::size_t k = 0; k < mechanism.ties.size(); ++k) {
    const Gauge& gauge = mechanism.ties[k].gauge;
    const double lambda = room.lambda[static_cast<Eigen::Index>(k)];
    if (lambda == 0 || gauge.kind == Gauge::Kind::angle) continue;
    add_curvature(gauge, read(gauge, q, turns), -lambda, q, turns, room.W);
  }
  rates.load_n = room.lambda.segment(held.first_tie, w);
  rates.motion.resize(mechanism.coordinates(), w);
  for (Eigen::Index i = 0; i < w; ++i) {
    follow_tie(held.first_tie + static_cast<int>(i), room.closure, room.dq);
    rates.motion.col(i) = room.dq;
  }
  if (mechanism.freedoms() > 0) let_inner_follow(mechanism, q, carrying, room, rates);
  rates.rate_n_per_mm.resize(w, w);
  room.Wq.noalias() = room.W * rates.motion;
  rates.rate_n_per_mm.noalias() = rates.motion.transpose() * room.Wq;
  rates.finite = rates.motion.allFinite() && rates.rate_n_per_mm.allFinite();
}

double motion_ratio(const SpringElement& spring, const Eigen::VectorXd& q, const std::vector<Turn>& turns,
                    const Eigen::VectorXd& dq) {
  return -slope_along(spring.gauge, read(spring.gauge, q, turns), dq);
}

}  // namespace ridepitch
