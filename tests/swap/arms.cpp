#include "swap/arms.hpp"

#include <fmt/format.h>
#include <gtest/gtest.h>

#include "model/read.hpp"

namespace ridepitch {

std::string level_arm(const LevelArm& arm) {
  const double force_n = arm.load_n * 8 / arm.at / arm.count;
  const std::string push = arm.law.empty()
                               ? fmt::format("rate_n_per_mm = {:.17g}\npreload_n = {:.17g}", arm.rate_n_per_mm,
                                             force_n - arm.rate_n_per_mm * arm.squeeze_mm)
                               : "law = " + arm.law;
  return fmt::format(R"(format = 1
name = "level arm"
[linkage.l]
plane = "side"
[linkage.l.body]
chassis = {{ holes = {{ pivot = [0, 0], seat = [{0:.17g}, {1:.17g}] }} }}
arm = {{ holes = {{ root = [0, 0], coil = [{0:.17g}, 0], axle = [8, 0] }}, near = {{ axle = [8, 0] }} }}
[[linkage.l.pin]]
join = ["chassis.pivot", "arm.root"]
[linkage.l.spring.main]
kind = "coil"
free_mm = {2:.17g}
solid_mm = {3:.17g}
{4}
from = "arm.coil"
to = "chassis.seat"
count = {5}
[linkage.l.wheel.hub]
at = "arm.axle"
part = "tyre-69"
[[corner]]
name = "rear left"
linkage = "l"
at = [0, 0, 4]
load_n = {6:.17g}
{7})",
                     arm.at, arm.length_mm / 8, arm.length_mm + arm.squeeze_mm, arm.length_mm - 25, push, arm.count,
                     arm.load_n, arm.more);
}

Model model_of(const std::string& text) {
  ReadModel read = read_model_text(text, "written.toml");
  for (const Problem& problem : read.problems)
    ADD_FAILURE() << problem.place.line << ": " << problem.text << "\n" << text;
  return read.model.value_or(Model{});
}

Solution solved(const Model& model) {
  const SolveResult result = solve(model);
  for (const Problem& problem : result.problems) ADD_FAILURE() << problem.code << ": " << problem.text;
  return result.solution.value_or(Solution{});
}

Model demo(const std::string& name) {
  ReadModel read = read_model(RIDEPITCH_SOURCE_DIR "/models/" + name);
  for (const Problem& problem : read.problems) ADD_FAILURE() << problem.text;
  return read.model.value_or(Model{});
}

}  // namespace ridepitch
