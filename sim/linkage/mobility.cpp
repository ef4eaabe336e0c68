#include "linkage/mobility.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include <fmt/format.h>

#include "linkage/dense.hpp"
#include "model/index.hpp"
#include "words/listed.hpp"

namespace ridepitch {
namespace {

constexpr double rank_threshold = 1e-8;
constexpr int most_freedoms = 12, most_bodies = 40;  // of one linkage: docs/model-format.md, "Redundant but mobile"

void add_once(std::vector<std::string>& names, const std::string& name) {
  if (std::find(names.begin(), names.end(), name) == names.end()) names.push_back(name);
}

}  // namespace

std::string tie_name(const Linkage& linkage, const Tie& tie) {
  switch (tie.of) {
    case Tie::Of::pin:
      return fmt::format("pin '{}'", at(linkage.pins, tie.index).name);
    case Tie::Of::rod:
      return fmt::format("rod '{}'", at(linkage.rods, tie.index).name);
    case Tie::Of::slide:
    case Tie::Of::heading:
      return fmt::format("slide '{}'", at(linkage.slides, tie.index).name);
    default:
      return "the drive";
  }
}

int counted_freedoms(const Mechanism& mechanism) {
  return mechanism.coordinates() - static_cast<int>(mechanism.ties.size());
}

Eigen::MatrixXd weighted_jacobian(const Mechanism& mechanism, const Eigen::VectorXd& q) {
  const Eigen::Map<const Eigen::VectorXd> weight(mechanism.column_weight.data(), mechanism.coordinates());
  return linearised(mechanism, q).J * weight.asDiagonal();
}

Closure unranked(Mechanism& mechanism) {
  Closure closure;
  mechanism.rank = 0;
  prepare(mechanism, closure);
  closure.rank = -1;
  return closure;
}

void set_rank(Mechanism& mechanism, const Eigen::VectorXd& q) {
  mechanism.rank = matrix_rank(weighted_jacobian(mechanism, q), rank_threshold);
}

std::vector<std::string> redundant_ties(const Mechanism& mechanism, const Eigen::VectorXd& q) {
  const Eigen::MatrixXd J = weighted_jacobian(mechanism, q);
  const int rank = matrix_rank(J, rank_threshold);
  std::vector<std::string> names;
  for (Eigen::Index row = 0; row < J.rows(); ++row) {
    Eigen::MatrixXd without(J.rows() - 1, J.cols());
    without << J.topRows(row), J.bottomRows(J.rows() - 1 - row);
    if (matrix_rank(without, rank_threshold) < rank) continue;
    add_once(names, tie_name(*mechanism.linkage, at(mechanism.ties, row)));
  }
  return names;
}

namespace {

// Bodies that no motion moves, and all rods: the loop that locks what should move.
std::string locked_loop(const Mechanism& mechanism, const Eigen::MatrixXd& T) {
  std::vector<std::string> locked;
  for (int b = 0; b < mechanism.bodies; ++b)
    if (T.cols() == 0 || T.middleRows(3 * b, 3).cwiseAbs().maxCoeff() < 1e-9)
      locked.push_back(at(mechanism.linkage->bodies, b + 1).name);
  for (const Rod& rod : mechanism.linkage->rods) locked.push_back(rod.name);
  return locked.empty() ? "what it hangs on" : listed(locked);
}

}  // namespace

std::optional<Problem> immovable(const Mechanism& mechanism, const Eigen::VectorXd& q) {
  const Linkage& linkage = *mechanism.linkage;
  Mechanism undriven = mechanism;
  if (linkage.drive) {
    std::erase_if(undriven.ties, [](const Tie& tie) { return tie.of == Tie::Of::drive; });
    set_rank(undriven, q);
  }
  const Eigen::MatrixXd T = tangents(linearised(undriven, q).part);
  const auto moves = [&](const Gauge& gauge) {
    const Eigen::RowVectorXd slopes = slopes_along(gauge, q, T).cwiseAbs();
    return ((slopes - 1e-9 * T.cwiseAbs().colwise().maxCoeff()).array() > 0).any();
  };
  const auto problem = [](const Place& place, std::string text) {
    return Problem{.place = place,
                   .code = "no-freedom",
                   .text = std::move(text),
                   .hint = "take a pin or rod out of that loop, or move its holes so that it can move"};
  };
  for (int i = 0; i < count(mechanism.wheels); ++i) {
    const WheelPoint& wheel = at(mechanism.wheels, i);
    if (wheel.fixed || linkage.plane == Plane::top || moves(wheel.height) || moves(wheel.sideways)) continue;
    const Wheel& named = at(linkage.wheels, i);
    return problem(named.place, fmt::format("wheel '{}' cannot move: in linkage '{}' {} lock each other", named.name,
                                            linkage.name, locked_loop(mechanism, T)));
  }
  for (const Tie& tie : mechanism.ties)
    if (tie.of == Tie::Of::drive && !moves(tie.gauge))
      return problem(linkage.drive->place, fmt::format("the drive of linkage '{}' cannot move: {} lock each other",
                                                       linkage.name, locked_loop(mechanism, T)));
  return std::nullopt;
}

std::vector<std::string> collinear_links(const Mechanism& mechanism, const Eigen::VectorXd& q) {
  const Linkage& linkage = *mechanism.linkage;
  const Eigen::MatrixXd J = weighted_jacobian(mechanism, q);
  // Rows that depend on one another everywhere come first; then those that do so here.
  const int redundant = std::max(count(mechanism.ties) - mechanism.rank, 0);
  const Eigen::VectorXd force = spectrum(Eigen::MatrixXd(J * J.transpose())).vectors.col(redundant);
  std::vector<std::string> names;
  const double least = 0.02 * force.cwiseAbs().maxCoeff();
  for (int k = 0; k < count(mechanism.ties); ++k) {
    if (std::abs(force[k]) < least) continue;
    const Tie& tie = at(mechanism.ties, k);
    if (tie.of == Tie::Of::rod) add_once(names, at(linkage.rods, tie.index).name);
    for (const int body : {tie.gauge.p.body, tie.gauge.q.body})
      if (body != ground) add_once(names, at(linkage.bodies, body + 1).name);
  }
  return names;
}

std::optional<Problem> too_large(const Mechanism& mechanism, int freedoms) {
  const Linkage& linkage = *mechanism.linkage;
  if (freedoms > most_freedoms)
    return Problem{
        .place = linkage.place,
        .code = "too-loose",
        .text = fmt::format("linkage '{}' has {} degrees of freedom, over {}", linkage.name, freedoms, most_freedoms),
        .hint =
            "join its bodies by more pins or rods, make one body of those that move together, or divide it into "
            "linkages of their own"};
  if (mechanism.bodies > most_bodies)
    return Problem{
        .place = linkage.place,
        .code = "too-many-bodies",
        .text = fmt::format("linkage '{}' has {} moving bodies, over {}", linkage.name, mechanism.bodies, most_bodies),
        .hint = "make one body of those that move together, or divide it into linkages of their own"};
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
    const Body& body = at(linkage.bodies, b + 1);
    return Problem{.place = body.place,
                   .code = "held-by-nothing",
                   .text = fmt::format("nothing holds body '{}' of linkage '{}'", body.name, linkage.name),
                   .hint = "join it to another body with a pin, rod or slide, or leave it out"};
  }
  return std::nullopt;
}

}  // namespace ridepitch
