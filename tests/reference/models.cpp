#include "reference/models.hpp"

#include <fmt/format.h>

#include <cmath>

#include "rigs/models.hpp"
#include "rigs/rest.hpp"
#include "rigs/texts.hpp"

namespace ridepitch {

Solution solved(const std::string& text, const Tyre& tyre) { return solved(on_tyres(read_rig(text), tyre)); }

namespace {

constexpr double free_mm = 300;

std::string slide_linkage(const std::string& name, double rate_n_per_mm, double top_mm, double module_mm) {
  return upright(
      {.name = name, .top = top_mm / module_mm, .free_mm = free_mm, .solid_mm = 5, .rate_n_per_mm = rate_n_per_mm});
}

}  // namespace

std::string bench_slide(double rate_n_per_mm, double load_n) {
  return on_bench(slide_linkage("l", rate_n_per_mm, 100, 8), load_n);
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
