#include "random_vehicle.hpp"

#include <algorithm>
#include <cstdlib>
#include <string>

#include <fmt/format.h>
#include <rapidcheck.h>

#include "model/read.hpp"
#include "rigs/models.hpp"
#include "rigs/scale.hpp"

namespace ridepitch::property {
namespace {

// RapidCheck reads its configuration from the environment: repeatable, and as long as TEST_SCALE asks.
const bool configured = [] {
  setenv("RC_PARAMS", fmt::format("seed=20260101 max_success={}", scaled(60, 3)).c_str(), 0);
  return true;
}();

double half_steps(int low, int high) { return 0.5 * *rc::gen::inRange(2 * low, 2 * high + 1); }

std::string linkage_text(const VehicleChoice& c, const Writing& w) {
  std::string pins, bodies;
  if (c.kind == 0) {
    const std::string arm =
        "arm = { holes = { root = [0, 0], push = [5, 0], axle = [8, 0] }, near = { axle = [8, 0] } }\n";
    const std::string rocker =
        "rocker = { holes = { root = [0, 0], push = [3, 0], coil = [0, 3] }, near = { push = [5, 6], coil = [2, 9] } "
        "}\n";
    bodies = fmt::format("chassis = {{ holes = {{ arm = [0, 0], rocker = [2, 6], seat = [{}, {}] }} }}\n", c.seat_u,
                         c.seat_v) +
             (w.other_order ? rocker + arm : arm + rocker);
    const std::string one = "[[linkage.arm.pin]]\njoin = [\"chassis.arm\", \"arm.root\"]\n";
    const std::string other = "[[linkage.arm.pin]]\njoin = [\"chassis.rocker\", \"rocker.root\"]\n";
    pins =
        (w.other_order ? other + one : one + other) +
        fmt::format("[linkage.arm.rod.pushrod]\nfrom = \"arm.push\"\nto = \"rocker.push\"\nlength = {}\nacross = {}\n",
                    c.pushrod, c.across);
  } else if (c.kind == 1) {
    bodies = fmt::format("chassis = {{ holes = {{ arm = [0, 0], seat = [{}, 7.5] }} }}\n", c.seat_u + 7) +
             "arm = { holes = { root = [0, 0], coil = [5, 0], axle = [9, 0] }, near = { axle = [9, 0] } }\n";
    pins = "[[linkage.arm.pin]]\njoin = [\"chassis.arm\", \"arm.root\"]\n";
  } else {
    bodies =
        "chassis = { holes = { low = [0, 0], high = [1, 4], seat = [3, 8] } }\n"
        "arm = { holes = { root = [0, 0], coil = [4, 0], ball = [6, 0] }, near = { ball = [6, 0] } }\n"
        "upper = { holes = { root = [0, 0], ball = [4.5, 0] }, near = { ball = [5.5, 4] } }\n"
        "upright = { holes = { low = [0, 0], high = [-0.5, 4], axle = [1.5, 1.5] }, near = { low = [6, 0], high = "
        "[5.5, 4] } }\n";
    pins =
        "[[linkage.arm.pin]]\njoin = [\"chassis.low\", \"arm.root\"]\n"
        "[[linkage.arm.pin]]\njoin = [\"chassis.high\", \"upper.root\"]\n"
        "[[linkage.arm.pin]]\njoin = [\"arm.ball\", \"upright.low\"]\n"
        "[[linkage.arm.pin]]\njoin = [\"upper.ball\", \"upright.high\"]\n";
  }
  const double s = w.scale;
  const double free = c.kind == 0 ? 56 : 64, solid = c.kind == 0 ? 40 : 44;
  std::string text = fmt::format("[linkage.arm]\nplane = \"{}\"\n[linkage.arm.body]\n{}{}",
                                 c.kind == 2 ? "front" : "side", bodies, pins);
  text += fmt::format(
      "[linkage.arm.spring.main]\nkind = \"coil\"\nfree_mm = {}\nsolid_mm = {}\nrate_n_per_mm = {}\npreload_n = {}\n"
      "from = \"{}\"\nto = \"chassis.seat\"\ncount = {}\n",
      free * s, solid * s, c.rate_n_per_mm * s * s, c.preload_n * s * s * s, c.kind == 0 ? "rocker.coil" : "arm.coil",
      c.count);
  text += fmt::format("[linkage.arm.wheel.hub]\nat = \"{}\"\npart = \"tyre-62\"\n",
                      c.kind == 2 ? "upright.axle" : "arm.axle");
  if (c.kind != 2) text += fmt::format("out = {}\n", c.out);
  return text;
}

std::string corner_text(const VehicleChoice& c, const Writing& w, bool front, bool left) {
  const bool on_left = left != w.mirrored;
  const double x = (front ? 1 : -1) * c.half_wheelbase + w.shift_x;
  const double y = (on_left ? 1 : -1) * (c.kind == 2 ? 4.0 : 8.0);
  // Wishbones reach outward: to the left as drawn, flipped on the right. Arms lead in front and trail behind.
  const bool flip = c.kind == 2 ? !on_left : !front;
  return fmt::format(
      "[[corner]]\nname = \"{} {}\"\nlinkage = \"arm\"\nat = [{}, {}, 4]\nflip = {}\nunsprung_grams = {}\n",
      front ? "front" : "rear", on_left ? "left" : "right", x, y, flip, 35 * w.scale * w.scale * w.scale);
}

std::string vehicle_text(const VehicleChoice& c, const Writing& w) {
  const double cube = w.scale * w.scale * w.scale;
  std::string text = fmt::format("format = 1\nname = \"random\"\nmodule_mm = {}\n", 8 * w.scale);
  text += fmt::format("[[mass]]\nname = \"load\"\ngrams = {}\nat = [{}, {}, {}]\nsize = [20, 8, 6]\n", c.grams * cube,
                      c.mass_x + w.shift_x, (w.mirrored ? -1 : 1) * c.mass_y, c.mass_z);
  text += linkage_text(c, w);
  std::string corners;
  for (const bool front : {true, false})
    for (const bool left : {true, false}) {
      const std::string one = corner_text(c, w, front, left);
      corners = w.other_order ? one + corners : corners + one;
    }
  return text + corners;
}

}  // namespace

VehicleChoice draw_vehicle() {
  VehicleChoice c;
  c.kind = *rc::gen::inRange(0, 3);
  c.seat_u = half_steps(-5, -3);
  c.seat_v = half_steps(8, 10);
  c.pushrod = half_steps(5, 7);
  c.across = half_steps(0, 2);
  c.out = half_steps(-2, 4);
  c.rate_n_per_mm = 0.05 * *rc::gen::inRange(10, 25);
  c.preload_n = 0.25 * *rc::gen::inRange(1, 12);
  c.count = *rc::gen::inRange(1, 3);
  c.mass_x = half_steps(-4, 4);
  c.mass_y = 0.25 * half_steps(-4, 4);
  c.mass_z = half_steps(2, 8);
  c.grams = 100 * *rc::gen::inRange(12, 32);
  c.half_wheelbase = half_steps(9, 14);
  if (*rc::gen::inRange(0, 2) == 1) c.tyre_rate_n_per_mm = 4.0 + *rc::gen::inRange(0, 8);
  return c;
}

Model read_random(const std::string& text, const RandomTyre& tyre, double scale) {
  ReadModel read = read_model_text(text, "random.toml");
  std::string wrong;
  for (const Problem& problem : read.problems) wrong += fmt::format("{}: {}\n", problem.place.line, problem.text);
  if (!read.model) RC_FAIL(wrong);
  Tyre scaled_tyre{.diameter_mm = tyre.diameter_mm * scale,
                   .width_mm = 20 * scale,
                   .mass_g = 42 * scale * scale * scale,
                   .rate_n_per_mm = tyre.rate_n_per_mm};
  if (tyre.rate_n_per_mm) *scaled_tyre.rate_n_per_mm *= scale * scale;
  return on_tyres(std::move(*read.model), scaled_tyre);
}

Model vehicle(const VehicleChoice& choice, const Writing& writing) {
  return read_random(vehicle_text(choice, writing), {70, choice.tyre_rate_n_per_mm}, writing.scale);
}

}  // namespace ridepitch::property
