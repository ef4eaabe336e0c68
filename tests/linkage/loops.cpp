#include "linkage/loops.hpp"

#include <fmt/format.h>
#include <gtest/gtest.h>

#include "linkage/search.hpp"
#include "rigs/models.hpp"
#include "rigs/texts.hpp"

namespace ridepitch {

Model written(const std::string& tables) { return read_rig(on_bench(tables, 1)); }

std::string four_bar(double crank, double coupler, double rocker, double ground_modules, const std::string& hints) {
  return fmt::format(R"(
[linkage.l]
plane = "side"
[linkage.l.body]
chassis = {{ holes = {{ a = [0, 0], b = [{}, 0] }} }}
crank = {{ holes = {{ o = [0, 0], a = [{}, 0] }} }}
coupler = {{ holes = {{ a = [0, 0], b = [{}, 0] }} }}
rocker = {{ holes = {{ o = [0, 0], b = [{}, 0] }}{} }}
[[linkage.l.pin]]
join = ["chassis.a", "crank.o"]
[[linkage.l.pin]]
join = ["crank.a", "coupler.a"]
[[linkage.l.pin]]
join = ["coupler.b", "rocker.b"]
[[linkage.l.pin]]
join = ["chassis.b", "rocker.o"]
[linkage.l.wheel.hub]
at = "crank.a"
part = "tyre-62"
)",
                     ground_modules, crank, coupler, rocker, hints);
}

Vec2 place_at(const Linkage& linkage, const Eigen::VectorXd& q, const std::string& hole) {
  for (std::size_t b = 0; b < linkage.bodies.size(); ++b)
    for (std::size_t h = 0; h < linkage.bodies[b].holes.size(); ++h) {
      const HoleRef ref{static_cast<int>(b), static_cast<int>(h)};
      if (hole_name(linkage, ref) == hole) return place_of(linkage, ref, q);
    }
  ADD_FAILURE() << "no hole '" << hole << "'";
  return Vec2::Zero();
}

double greatest_gap(const Mechanism& mechanism, const Eigen::VectorXd& q) {
  Closure room;
  prepare(mechanism, room);
  measure_ties(mechanism, q, room);
  return room.residual.cwiseAbs().maxCoeff();
}

}  // namespace ridepitch
