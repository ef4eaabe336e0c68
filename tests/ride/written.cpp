#include "ride/written.hpp"

#include <fmt/format.h>
#include <gtest/gtest.h>

#include "model/read.hpp"

namespace ridepitch {

Model read_written(const std::string& text) {
  ReadModel read = read_model_text(text, "written.toml");
  for (const Problem& problem : read.problems)
    ADD_FAILURE() << problem.place.line << ": " << problem.text << "\n" << text;
  Model model = read.model.value_or(Model{});
  for (Linkage& linkage : model.linkages)
    for (Wheel& wheel : linkage.wheels)
      wheel.tyre = {.diameter_mm = 60, .width_mm = 20, .mass_g = 0, .rate_n_per_mm = {}};
  return model;
}

Solution rested(const std::string& text) {
  const SolveResult result = solve(read_written(text));
  for (const Problem& problem : result.problems) ADD_FAILURE() << problem.code << ": " << problem.text;
  return result.solution.value_or(Solution{});
}

Problem refused(const std::string& text) {
  const SolveResult result = solve(read_written(text));
  EXPECT_FALSE(result.solution.has_value());
  EXPECT_EQ(result.problems.size(), 1u);
  return result.problems.empty() ? Problem{} : result.problems.front();
}

std::string on_bench(const std::string& tables, double load_n) {
  return fmt::format(
      "format = 1\nname = \"bench\"\n{}[[corner]]\nname = \"c\"\nlinkage = \"l\"\nat = [0, 0, 4]\nload_n = {}\n",
      tables, load_n);
}

std::string upright(const Upright& u) {
  return fmt::format(R"(
[linkage.{0}]
plane = "side"
[linkage.{0}.body]
chassis = {{ holes = {{ guide = [0, 0], top = [0, {1}]{2} }} }}
carrier = {{ holes = {{ eye = [0, 0] }}, near = {{ eye = [0, 0] }} }}
[linkage.{0}.slide.way]
hole = "carrier.eye"
through = "chassis.guide"
along = [0, 1]
{3}
[linkage.{0}.spring.main]
kind = "coil"
free_mm = {4}
solid_mm = {5}
rate_n_per_mm = {6}
preload_n = {7}
from = "carrier.eye"
to = "chassis.top"
[linkage.{0}.wheel.hub]
at = "carrier.eye"
part = "tyre-62"
)",
                     u.name, u.top, u.more_holes, u.more, u.free_mm, u.solid_mm, u.rate_n_per_mm, u.preload_n);
}

std::string body(double grams, double x, double y, double z) {
  return fmt::format(
      "format = 1\nname = \"vehicle\"\n[[mass]]\nname = \"body\"\ngrams = {:.17g}\nat = [{:.17g}, {:.17g}, "
      "{:.17g}]\nsize = [20, 10, 6]\n",
      grams, x, y, z);
}

std::string corner(const std::string& name, const std::string& linkage, double x, double y, double z) {
  return fmt::format("[[corner]]\nname = \"{}\"\nlinkage = \"{}\"\nat = [{}, {}, {}]\n", name, linkage, x, y, z);
}

std::string four_corners(const std::string& linkage, double x, double y) {
  return corner("front left", linkage, x, y) + corner("front right", linkage, x, -y) +
         corner("rear left", linkage, -x, y) + corner("rear right", linkage, -x, -y);
}

std::string arm(const std::string& seat, const std::string& more, const std::string& more_bodies) {
  return fmt::format(R"(
[linkage.l]
plane = "side"
[linkage.l.body]
chassis = {{ holes = {{ root = [0, 0], seat = {}, far = [2, 6] }} }}
arm = {{ holes = {{ root = [0, 0], coil = [5, 0], axle = [8, 0] }}, near = {{ axle = [8, 0] }} }}
{}
[[linkage.l.pin]]
join = ["chassis.root", "arm.root"]
[linkage.l.wheel.hub]
at = "arm.axle"
part = "tyre-62"
{})",
                     seat, more_bodies, more);
}

std::string coil(const std::string& name, const std::string& from, const std::string& to, double free_mm,
                 double solid_mm, double rate_n_per_mm) {
  return fmt::format(
      "[linkage.l.spring.{}]\nkind = \"coil\"\nfree_mm = {}\nsolid_mm = {}\nrate_n_per_mm = {}\nfrom = \"{}\"\nto = "
      "\"{}\"\n",
      name, free_mm, solid_mm, rate_n_per_mm, from, to);
}

}  // namespace ridepitch
