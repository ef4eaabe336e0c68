#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "model/units.hpp"
#include "ride/rested.hpp"
#include "ride/slope.hpp"

namespace ridepitch {
namespace {

constexpr double told_to_deg = 0.002;  // what is said to hold does hold

std::string side_name(Toward toward) {
  const bool sideways = toward == Toward::left || toward == Toward::right;
  return std::string(toward_name(toward)) + (sideways ? " side" : "");
}

Problem does_not_stand(const Model& model, const std::string& text, std::string hint) {
  return {.place = {.file = 0},
          .code = "tips-over",
          .text = fmt::format("{}: {}", model.name, text),
          .hint = std::move(hint),
          .fault = Fault::no_solution};
}

}  // namespace

RestOrProblem stand_on_floor(const Model& model, const Floor& floor, const Rest& level, int steps, Vehicle& vehicle) {
  RestOrProblem out{level, {}};
  for (const PlacedWheel& wheel : placed_wheels(vehicle.system, vehicle.hanging))
    for (const Block& block : floor.blocks)
      if (block.wheel == wheel_name(model, vehicle, wheel.member, wheel.wheel))
        vehicle.system.members[wheel.member].treads[wheel.wheel].ground_mm = block.height_mm;
  if (!floor.blocks.empty()) {
    vehicle.hanging = hang(vehicle);
    out.rest = lower(vehicle.system, vehicle.hanging, steps);
    if (!out.rest) {
      out.problem = does_not_stand(model, "on these blocks nothing supports it: it tips over or sinks without end",
                                   "lower blocks");
      return out;
    }
  }
  if (floor.slope_rad <= 0) return out;
  const Rest on_blocks = *out.rest;
  out.rest = tilt(vehicle.system, on_blocks, floor.slope_rad, floor.toward);
  if (out.rest) return out;
  System level_system = vehicle.system;
  set_slope(0, floor.toward, level_system);
  const double steepest = steepest_tilt_deg(level_system, on_blocks, floor.toward);
  out.problem = does_not_stand(
      model,
      fmt::format("it tips over on a slope of {:.4g} degrees with its {} downhill; it stands up to {:.1f} degrees",
                  floor.slope_rad * deg_per_rad, side_name(floor.toward),
                  std::max(0.0, std::floor(10 * (steepest - told_to_deg)) / 10)),
      "a gentler slope, wheels farther apart, or a lower centre of gravity");
  return out;
}

}  // namespace ridepitch
