#include "linkage/written.hpp"

#include <fmt/format.h>
#include <gtest/gtest.h>

#include "linkage/search.hpp"
#include "model/read.hpp"

namespace ridepitch {

Model written(const std::string& tables) {
  ReadModel read = read_model_text("format = 1\nname = \"one\"\n" + tables +
                                       "\n[[corner]]\nname = \"c\"\nlinkage = \"l\"\nat = [0, 0, 0]\nload_n = 1\n",
                                   "one.toml");
  for (const Problem& problem : read.problems) ADD_FAILURE() << problem.place.line << ": " << problem.text;
  return read.model.value_or(Model{});
}

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

std::string rocker_arm() {
  return R"(
[linkage.l]
plane = "side"
[linkage.l.body]
chassis = { holes = { arm = [0, 0], rocker = [2, 6], seat = [-4, 9] } }
arm = { holes = { root = [0, 0], push = [5, 0], axle = [8, 0] }, near = { axle = [8, 0] } }
rocker = { holes = { root = [0, 0], push = [3, 0], coil = [0, 3] }, near = { push = [5, 6], coil = [2, 9] } }
[[linkage.l.pin]]
join = ["chassis.arm", "arm.root"]
[[linkage.l.pin]]
join = ["chassis.rocker", "rocker.root"]
[linkage.l.rod.pushrod]
from = "arm.push"
to = "rocker.push"
length = 6
[linkage.l.spring.main]
kind = "coil"
free_mm = 56
solid_mm = 40
rate_n_per_mm = 0.6
from = "rocker.coil"
to = "chassis.seat"
[linkage.l.wheel.hub]
at = "arm.axle"
part = "tyre-62"
)";
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
