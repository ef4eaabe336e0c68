#include "reference/models.hpp"

#include <fmt/format.h>
#include <gtest/gtest.h>

#include <cmath>

#include "model/read.hpp"

namespace ridepitch {

Solution solved(const std::string& text, const Tyre& tyre) {
  ReadModel read = read_model_text(text, "text.toml");
  for (const Problem& problem : read.problems)
    ADD_FAILURE() << problem.place.line << ":" << problem.place.column << ": " << problem.text;
  if (!read.model) return {};
  for (Linkage& linkage : read.model->linkages)
    for (Wheel& wheel : linkage.wheels) wheel.tyre = tyre;
  const SolveResult result = solve(*read.model);
  for (const Problem& problem : result.problems) ADD_FAILURE() << problem.text;
  return result.solution.value_or(Solution{});
}

namespace {

constexpr double free_mm = 300;

std::string slide_linkage(const std::string& name, double rate_n_per_mm, double top_mm, double module_mm) {
  return fmt::format(R"(
[linkage.{0}]
plane = "side"
[linkage.{0}.body]
chassis = {{ holes = {{ guide = [0, 0], top = [0, {1:.17g}] }} }}
hub = {{ holes = {{ eye = [0, 0] }}, near = {{ eye = [0, 0] }} }}
[linkage.{0}.slide.upright]
hole = "hub.eye"
through = "chassis.guide"
along = [0, 1]
[linkage.{0}.spring.main]
kind = "coil"
free_mm = {2:.17g}
solid_mm = 5
rate_n_per_mm = {3:.17g}
from = "hub.eye"
to = "chassis.top"
[linkage.{0}.wheel.hub]
at = "hub.eye"
part = "tyre-43"
)",
                     name, top_mm / module_mm, free_mm, rate_n_per_mm);
}

}  // namespace

std::string bench_slide(double rate_n_per_mm, double load_n) {
  return "format = 1\nname = \"bench\"\n" + slide_linkage("slide", rate_n_per_mm, 100, 8) +
         fmt::format("\n[[corner]]\nname = \"one\"\nlinkage = \"slide\"\nat = [0, 0, 0]\nload_n = {:.17g}\n", load_n);
}

std::string slide_car(const SlideCar& car) {
  const double weight = car.kg * gravity_m_per_s2, base = car.ahead_mm + car.behind_mm;
  const double front_mm = free_mm - weight * car.behind_mm / base / 2 / car.front_n_per_mm;
  const double rear_mm = free_mm - weight * car.ahead_mm / base / 2 / car.rear_n_per_mm;
  constexpr double module_mm = 10;
  // k^2 = (length^2 + height^2) / 12 of a uniform box
  const double radius = car.pitch_radius_mm / module_mm;
  const double length = std::sqrt(12 * radius * radius - slide_car_height_modules * slide_car_height_modules);
  std::string text = fmt::format(R"(format = 1
name = "slide car"
module_mm = 10
[[mass]]
name = "body"
grams = {:.17g}
at = [{:.17g}, {:.17g}, 0]
size = [{:.17g}, {:.17g}, {:.17g}]
)",
                                 1000 * car.kg, car.cg_x_mm / module_mm, car.cg_y_mm / module_mm, length,
                                 slide_car_width_modules, slide_car_height_modules);
  text += slide_linkage("front", car.front_n_per_mm, front_mm, module_mm);
  text += slide_linkage("rear", car.rear_n_per_mm, rear_mm, module_mm);
  for (const auto& [end, x] : {std::pair{"front", car.ahead_mm}, std::pair{"rear", -car.behind_mm}})
    text += fmt::format(
        "\n[[corner]]\nname = \"{0} left\"\nlinkage = \"{0}\"\nat = [{1:.17g}, {2:.17g}, 0]\nmirror = true\n", end,
        x / module_mm, car.half_track_mm / module_mm);
  return text;
}

}  // namespace ridepitch
