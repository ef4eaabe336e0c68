#include "linkage/mobility.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "linkage/dense.hpp"
#include "words/listed.hpp"

namespace ridepitch {
namespace {

constexpr double rank_threshold = 1e-8;

// J with radians weighed as mm, so that its rank does not hang on the unit.
Eigen::MatrixXd weighted_jacobian(const Mechanism& mechanism, const Closure& room) {
  Eigen::MatrixXd J = room.J;
  for (Eigen::Index j = 0; j < J.cols(); ++j) J.col(j) *= mechanism.column_weight[static_cast<std::size_t>(j)];
  return J;
}

}  // namespace

std::string tie_name(const Linkage& linkage, const Tie& tie) {
  const auto i = static_cast<std::size_t>(tie.index);
  switch (tie.of) {
    case Tie::Of::pin:
      return fmt::format("pin '{}'", linkage.pins[i].name);
    case Tie::Of::rod:
      return fmt::format("rod '{}'", linkage.rods[i].name);
    case Tie::Of::slide:
    case Tie::Of::heading:
      return fmt::format("slide '{}'", linkage.slides[i].name);
    default:
      return "the drive";
  }
}

int counted_freedoms(const Mechanism& mechanism) {
  return mechanism.coordinates() - static_cast<int>(mechanism.ties.size());
}

int set_rank(Mechanism& mechanism, const Eigen::VectorXd& q, Closure& room) {
  mechanism.rank = 0;
  prepare(mechanism, room);
  room.rank = -1;
  linearise(mechanism, q, room);
  mechanism.rank = matrix_rank(weighted_jacobian(mechanism, room), rank_threshold);
  prepare(mechanism, room);
  return mechanism.rank;
}

std::vector<std::string> redundant_ties(const Mechanism& mechanism, const Eigen::VectorXd& q) {
  Closure room;
  prepare(mechanism, room);
  linearise(mechanism, q, room);
  const Eigen::MatrixXd J = weighted_jacobian(mechanism, room);
  const int rank = matrix_rank(J, rank_threshold);
  std::vector<std::string> names;
  for (Eigen::Index row = 0; row < J.rows(); ++row) {
    Eigen::MatrixXd without(J.rows() - 1, J.cols());
    without << J.topRows(row), J.bottomRows(J.rows() - 1 - row);
    if (matrix_rank(without, rank_threshold) < rank) continue;
    const std::string name = tie_name(*mechanism.linkage, mechanism.ties[static_cast<std::size_t>(row)]);
    if (std::find(names.begin(), names.end(), name) == names.end()) names.push_back(name);
  }
  return names;
}

std::optional<Problem> immovable(const Mechanism& mechanism, const Eigen::VectorXd& q) {
  const Linkage& linkage = *mechanism.linkage;
  Mechanism undriven = mechanism;
  if (linkage.drive) {
    std::erase_if(undriven.ties, [](const Tie& tie) { return tie.of == Tie::Of::drive; });
    Closure probe;
    set_rank(undriven, q, probe);
  }
  Closure room;
  prepare(undriven, room);
  linearise(undriven, q, room);
  Eigen::MatrixXd T;
  tangents(room.part, T);
  const auto moves = [&](const Gauge& gauge) {
    const GaugeReading reading = read(gauge, q, room.turns);
    for (Eigen::Index c = 0; c < T.cols(); ++c)
      if (std::abs(slope_along(gauge, reading, T.col(c))) > 1e-9 * T.col(c).cwiseAbs().maxCoeff()) return true;
    return false;
  };
  std::vector<std::string> locked;
  for (int b = 0; b < mechanism.bodies; ++b)
    if (T.cols() == 0 || T.middleRows(3 * b, 3).cwiseAbs().maxCoeff() < 1e-9)
      locked.push_back(linkage.bodies[static_cast<std::size_t>(b) + 1].name);
  for (const Rod& rod : linkage.rods) locked.push_back(rod.name);
  const std::string loop = locked.empty() ? "what it hangs on" : listed(locked);
  Problem problem;
  problem.code = "no-freedom";
  problem.hint = "take a pin or rod out of that loop, or move its holes so that it can move";
  for (std::size_t i = 0; i < mechanism.wheels.size(); ++i) {
    const WheelPoint& wheel = mechanism.wheels[i];
    if (wheel.fixed || linkage.plane == Plane::top) continue;
    if (moves(wheel.height) || moves(wheel.sideways)) continue;
    problem.place = linkage.wheels[i].place;
    problem.text = fmt::format("wheel '{}' cannot move: in linkage '{}' {} lock each other", linkage.wheels[i].name,
                               linkage.name, loop);
    return problem;
  }
  if (linkage.drive) {
    for (const Tie& tie : mechanism.ties)
      if (tie.of == Tie::Of::drive && !moves(tie.gauge)) {
        problem.place = linkage.drive->place;
        problem.text = fmt::format("the drive of linkage '{}' cannot move: {} lock each other", linkage.name, loop);
        return problem;
      }
  }
  return std::nullopt;
}

std::optional<Problem> held_by_nothing(const Mechanism& mechanism) {
  const Linkage& linkage = *mechanism.linkage;
  for (int b = 0; b < mechanism.bodies; ++b) {
    const bool tied = std::any_of(mechanism.ties.begin(), mechanism.ties.end(),
                                  [&](const Tie& tie) { return tie.gauge.p.body == b || tie.gauge.q.body == b; });
    const bool sprung = std::any_of(mechanism.springs.begin(), mechanism.springs.end(),
                                    [&](const SpringElement& s) { return s.gauge.p.body == b || s.gauge.q.body == b; });
    if (tied || sprung) continue;
    const Body& body = linkage.bodies[static_cast<std::size_t>(b) + 1];
    Problem problem;
    problem.place = body.place;
    problem.code = "held-by-nothing";
    problem.text = fmt::format("nothing holds body '{}' of linkage '{}'", body.name, linkage.name);
    problem.hint = "join it to another body with a pin, rod or slide, or leave it out";
    return problem;
  }
  return std::nullopt;
}

}  // namespace ridepitch
