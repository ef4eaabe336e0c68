#include "ride/droop.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "linkage/dense.hpp"
#include "ride/active_set.hpp"
#include "ride/equilibrium.hpp"
#include "ride/hold.hpp"
#include "ride/system.hpp"

namespace ridepitch {
namespace {

// What least energy leaves open is settled by forces too small to show: 1e-7 N a wheel, 1e-7 N/mm of height apart.
constexpr double hint_of_force_n = 1e-7;
constexpr double hint_of_rate_n_per_mm = 1e-7;
constexpr double flat_n_per_mm = 1e-9;  // a curvature under it holds nothing
constexpr double met_mm = 1e-6;         // a stop this near is met

// Motions that neither energy nor an active stop resists: columns over the coordinates q.
Eigen::MatrixXd flat_motions(const Work& work) {
  const FreeMotions free = free_motions(work);
  if (free.curvature.size() == 0) return Eigen::MatrixXd(work.members[0].T.rows(), 0);
  Eigen::Index flat = 0;
  const double limit = std::max(flat_n_per_mm, 1e-11 * free.curvature.cwiseAbs().maxCoeff());
  while (flat < free.curvature.size() && free.curvature[flat] < limit) ++flat;
  return work.members[0].T * free.motion.leftCols(flat);
}

// Rise of every wheel in each flat motion, [wheels x motions].
Eigen::MatrixXd wheel_rises(const Mechanism& mechanism, const Eigen::VectorXd& q, const std::vector<Turn>& turns,
                            const Eigen::MatrixXd& motions) {
  Eigen::MatrixXd Z(static_cast<Eigen::Index>(mechanism.wheels.size()), motions.cols());
  for (std::size_t i = 0; i < mechanism.wheels.size(); ++i) {
    const GaugeReading reading = read(mechanism.wheels[i].height, q, turns);
    for (Eigen::Index f = 0; f < motions.cols(); ++f)
      Z(static_cast<Eigen::Index>(i), f) = slope_along(mechanism.wheels[i].height, reading, motions.col(f));
  }
  return Z;
}

bool works_a_spring(const Mechanism& mechanism, const Eigen::VectorXd& q, const std::vector<Turn>& turns,
                    const Eigen::VectorXd& dq) {
  return std::any_of(mechanism.springs.begin(), mechanism.springs.end(), [&](const SpringElement& spring) {
    return std::abs(slope_along(spring.gauge, read(spring.gauge, q, turns), dq)) > 1e-9;
  });
}

Problem loose_body(const Mechanism& mechanism, const Eigen::VectorXd& motion) {
  Eigen::Index most = 0;
  double best = -1;
  for (Eigen::Index b = 0; b < mechanism.bodies; ++b) {
    const Eigen::Vector3d part = motion.segment<3>(3 * b);
    const double size = std::max({std::abs(part.x()), std::abs(part.y()), mechanism.size_mm * std::abs(part.z())});
    if (size > best) {
      best = size;
      most = b;
    }
  }
  const Body& body = mechanism.linkage->bodies[static_cast<std::size_t>(most) + 1];
  Problem problem;
  problem.place = body.place;
  problem.code = "held-by-nothing";
  problem.text =
      fmt::format("nothing holds body '{}' of linkage '{}': it can move while the wheels stay, and no spring minds",
                  body.name, mechanism.linkage->name);
  problem.hint = "give it a spring or a rod, or join it to another body";
  return problem;
}

Problem loose_wheel(const Mechanism& mechanism, std::size_t wheel) {
  const Wheel& named = mechanism.linkage->wheels[wheel];
  Problem problem;
  problem.place = named.place;
  problem.code = "held-by-nothing";
  problem.text = fmt::format("wheel '{}' of linkage '{}' can fall: no spring, limit or stop holds it", named.name,
                             mechanism.linkage->name);
  problem.hint = "give its arm a spring, or a limit that stops it";
  return problem;
}

// The first stop, in order, that is met and that some motion of the wheel would open or close.
std::string end_of(const Mechanism& mechanism, const Eigen::VectorXd& q, std::size_t wheel) {
  Closure room;
  prepare(mechanism, room);
  linearise(mechanism, q, room);
  Eigen::MatrixXd T;
  tangents(room.part, T);
  const GaugeReading rise = read(mechanism.wheels[wheel].height, q, room.turns);
  for (const Stop& stop : mechanism.stops) {
    const GaugeReading reading = read(stop.gauge, q, room.turns);
    if (std::abs(stop_gap(stop, reading.value)) > met_mm) continue;
    for (Eigen::Index f = 0; f < T.cols(); ++f)
      if (std::abs(slope_along(stop.gauge, reading, T.col(f))) > 1e-9 &&
          std::abs(slope_along(mechanism.wheels[wheel].height, rise, T.col(f))) > 1e-9)
        return stop.name;
  }
  return "";
}

}  // namespace

DroopResult find_droop(const Assembly& assembly) {
  Mechanism mechanism = assembly.mechanism;  // gets the small springs that level wheels
  System system = bench_system(mechanism);
  State state;
  state.q = {assembly.q};
  Work work;
  const auto settle = [&] {
    system.members[0].mechanism = &mechanism;
    prepare(system, work);
    descend(system, 1, state, work);
    State soft = state;
    if (!make_exact(system, 1, state, work)) state = soft;
    evaluate(system, state, Bounds::exact, work);
  };
  settle();
  constexpr int most_rounds = 4;
  for (int round = 0; round < most_rounds; ++round) {
    const auto& turns = work.members[0].closure.turns;
    const Eigen::MatrixXd flat = flat_motions(work);
    if (flat.cols() == 0) break;
    const Eigen::MatrixXd Z = wheel_rises(mechanism, state.q[0], turns, flat);
    const double tiny = 1e-7 * (Z.size() ? Z.cwiseAbs().maxCoeff() : 0) + 1e-9;
    const Eigen::MatrixXd inner = flat * null_space(Z, 1e-9);
    for (Eigen::Index f = 0; f < inner.cols(); ++f)
      if (!works_a_spring(mechanism, state.q[0], turns, inner.col(f)))
        return {std::nullopt, loose_body(mechanism, inner.col(f))};
    if (Z.size() == 0 || Z.cwiseAbs().maxCoeff() < 1e-9) break;
    const Eigen::VectorXd fall = -Z.transpose() * Eigen::VectorXd::Ones(Z.rows());
    const Eigen::VectorXd fallen = Z * fall;
    if (fallen.size() && fallen.maxCoeff() <= tiny && fallen.minCoeff() < -tiny) {
      const bool minds = works_a_spring(mechanism, state.q[0], turns, flat * fall);
      Eigen::Index falling = 0;
      fallen.minCoeff(&falling);
      for (Tread& tread : system.members[0].treads) tread.push_n = -hint_of_force_n;
      settle();
      const bool stopped =
          std::any_of(work.bound.begin(), work.bound.end(), [](const BoundState& b) { return b.active; });
      if (!minds && !stopped) return {std::nullopt, loose_wheel(mechanism, static_cast<std::size_t>(falling))};
      continue;
    }
    int first = -1;
    for (Eigen::Index i = 0; i < Z.rows(); ++i) {
      if (Z.row(i).cwiseAbs().maxCoeff() < tiny) continue;
      if (first >= 0)
        mechanism.springs.push_back(level_spring(mechanism, first, static_cast<int>(i), hint_of_rate_n_per_mm));
      first = first < 0 ? static_cast<int>(i) : first;
    }
    settle();
  }
  Droop droop;
  droop.q = state.q[0];
  for (std::size_t i = 0; i < mechanism.wheels.size(); ++i) {
    droop.height_mm.push_back(wheel_centre(mechanism, static_cast<int>(i), droop.q).y());
    droop.end.push_back(end_of(assembly.mechanism, droop.q, i));
  }
  return {std::move(droop), std::nullopt};
}

}  // namespace ridepitch
