#include "random_machine.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>
#include <rapidcheck.h>

namespace ridepitch::property {
namespace {

double half_steps(int low, int high) { return 0.5 * *rc::gen::inRange(2 * low, 2 * high + 1); }

bool heads() { return *rc::gen::inRange(0, 2) == 1; }

/// The tables of a linkage, before their order is chosen.
struct Tables {
  std::string plane = "side";
  std::vector<std::string> bodies, pins, rods;
  std::string springs, wheels;
};

// Weights grow by the cube of the scale, rates by its square, moments by its fourth power.
struct Spring {
  std::string name, from, to;
  double free_mm = 64, solid_mm = 44, rate_n_per_mm = 0.6, preload_n = 0;
  int count = 1;
};

void add_coil(Tables& t, double s, const Spring& c) {
  t.springs += fmt::format(
      "[linkage.NAME.spring.{}]\nkind = \"coil\"\nfree_mm = {}\nsolid_mm = {}\nrate_n_per_mm = {}\npreload_n = {}\n"
      "from = \"{}\"\nto = \"{}\"\ncount = {}\n",
      c.name, c.free_mm * s, c.solid_mm * s, c.rate_n_per_mm * s * s, c.preload_n * s * s * s, c.from, c.to, c.count);
}

void add_band(Tables& t, double s, const Spring& c) {
  t.springs += fmt::format(
      "[linkage.NAME.spring.{}]\nkind = \"band\"\nfree_mm = {}\nrate_n_per_mm = {}\nfrom = \"{}\"\nto = \"{}\"\n",
      c.name, c.free_mm * s, c.rate_n_per_mm * s * s, c.from, c.to);
}

void add_pin(Tables& t, const std::string& one, const std::string& other) {
  t.pins.push_back(fmt::format("[[linkage.NAME.pin]]\njoin = [\"{}\", \"{}\"]\n", one, other));
}

void add_wheel(Tables& t, const std::string& name, const std::string& at) {
  t.wheels += fmt::format("[linkage.NAME.wheel.{}]\nat = \"{}\"\npart = \"tyre-62\"\n", name, at);
}

Tables rocker_arm(const End& e, double s) {
  Tables t;
  t.bodies = {
      fmt::format("chassis = {{ holes = {{ arm = [0, 0], rocker = [2, 6], seat = [{}, 9], other = [5.5, 7.5] }} }}\n",
                  e.seat - 4),
      "arm = { holes = { root = [0, 0], push = [5, 0], axle = [8, 0] }, near = { axle = [8, 0] } }\n",
      "rocker = { holes = { root = [0, 0], push = [3, 0], coil = [0, 3] }, near = { push = [5, 6], coil = [2, 9] } "
      "}\n"};
  add_pin(t, "chassis.arm", "arm.root");
  add_pin(t, "chassis.rocker", "rocker.root");
  t.rods.push_back(
      fmt::format("[linkage.NAME.rod.pushrod]\nfrom = \"arm.push\"\nto = \"rocker.push\"\nlength = {}\nacross = {}\n",
                  e.pushrod, e.across));
  add_coil(t, s, {"main", "rocker.coil", "chassis.seat", 56, 40, e.rate_n_per_mm, e.preload_n, e.count});
  if (e.extra) add_coil(t, s, {"helper", "arm.push", "chassis.other", 68, 30, 0.3 * e.rate_n_per_mm, 0, 1});
  add_wheel(t, "hub", "arm.axle");
  return t;
}

Tables plain_arm(const End& e, double s) {
  Tables t;
  t.bodies = {fmt::format("chassis = {{ holes = {{ arm = [0, 0], seat = [{}, 7.5], low = [2, -4] }} }}\n", e.seat + 4),
              "arm = { holes = { root = [0, 0], coil = [5, 0], axle = [9, 0] }, near = { axle = [9, 0] } }\n"};
  add_pin(t, "chassis.arm", "arm.root");
  add_coil(t, s, {"main", "arm.coil", "chassis.seat", 64, 44, e.rate_n_per_mm, e.preload_n, e.count});
  if (e.extra && e.count == 1) add_band(t, s, {"strap", "arm.coil", "chassis.low", 34, 0, 0.1, 0, 1});
  if (e.extra && e.count > 1)
    t.springs += fmt::format(
        "[linkage.NAME.spring.twist]\nkind = \"torsion\"\nbetween = [\"chassis\", \"arm\"]\nrate_n_mm_per_deg = "
        "{}\nfree_deg = -30\n",
        1.5 * std::pow(s, 4));
  add_wheel(t, "hub", "arm.axle");
  return t;
}

Tables wishbones(const End& e, double s) {
  Tables t;
  t.plane = "front";
  t.bodies = {fmt::format("chassis = {{ holes = {{ low = [0, 0], high = [1, 4], seat = [{}, 8] }} }}\n", e.seat + 3),
              "arm = { holes = { root = [0, 0], coil = [4, 0], ball = [6, 0] }, near = { ball = [6, 0] } }\n",
              "upper = { holes = { root = [0, 0], ball = [4.5, 0] }, near = { ball = [5.5, 4] } }\n",
              "upright = { holes = { low = [0, 0], high = [-0.5, 4], axle = [1.5, 1.5] }, near = { low = [6, 0], high "
              "= [5.5, 4] } }\n"};
  add_pin(t, "chassis.low", "arm.root");
  add_pin(t, "chassis.high", "upper.root");
  add_pin(t, "arm.ball", "upright.low");
  add_pin(t, "upper.ball", "upright.high");
  add_coil(t, s, {"main", "arm.coil", "chassis.seat", 68, 44, e.rate_n_per_mm, e.preload_n, e.count});
  add_wheel(t, "hub", "upright.axle");
  return t;
}

Tables beam_on_arm(const End& e, double s) {
  Tables t;
  t.bodies = {fmt::format("chassis = {{ holes = {{ arm = [0, 0], seat = [{}, 7.5] }} }}\n", e.seat + 4),
              "arm = { holes = { root = [0, 0], coil = [5, 0], hinge = [8, 0] }, near = { hinge = [8, 0] } }\n",
              "beam = { holes = { hinge = [0, 0], ahead = [4, -0.5], behind = [-3.5, -0.5] }, near = { ahead = [12, "
              "-0.5] } }\n"};
  add_pin(t, "chassis.arm", "arm.root");
  add_pin(t, "arm.hinge", "beam.hinge");
  add_coil(t, s, {"main", "arm.coil", "chassis.seat", 64, 44, 1.5 * e.rate_n_per_mm, e.preload_n, 2});
  add_wheel(t, "ahead", "beam.ahead");
  add_wheel(t, "behind", "beam.behind");
  return t;
}

Tables live_axle() {
  Tables t;
  t.plane = "front";
  t.bodies = {"chassis = { holes = { pivot = [0, 1] } }\n",
              "axle = { holes = { pivot = [0, 0], one = [8, -2], other = [-8, -2] }, near = { one = [8, -1] } }\n"};
  add_pin(t, "chassis.pivot", "axle.pivot");
  add_wheel(t, "one", "axle.one");
  add_wheel(t, "other", "axle.other");
  return t;
}

Tables tied_arms(const End& e, double s, double half) {
  Tables t;
  t.bodies = {
      fmt::format(
          "chassis = {{ holes = {{ fore = [{0}, 0], aft = [{1}, 0], seat = [{2}, 7.5], back = [{3}, 7.5] }} }}\n", half,
          -half, half + e.seat + 4, -half - e.seat - 4),
      fmt::format("lead = {{ holes = {{ root = [0, 0], coil = [5, 0], axle = [8, 0], horn = [0, -2.5] }}, near = {{ "
                  "axle = [{}, 0] }} }}\n",
                  half + 8),
      fmt::format("trail = {{ holes = {{ root = [0, 0], coil = [5, 0], axle = [8, 0], horn = [0, 2.5] }}, near = {{ "
                  "axle = [{}, 0] }} }}\n",
                  -half - 8)};
  add_pin(t, "chassis.fore", "lead.root");
  add_pin(t, "chassis.aft", "trail.root");
  add_coil(t, s, {"main", "lead.coil", "chassis.seat", 64, 44, e.rate_n_per_mm, e.preload_n, e.count});
  add_coil(t, s, {"stern", "trail.coil", "chassis.back", 64, 44, 0.9 * e.rate_n_per_mm, e.preload_n, e.count});
  add_band(t, s, {"tie", "lead.horn", "trail.horn", 16 * half - 6, 0, 0.25, 0, 1});
  add_wheel(t, "lead", "lead.axle");
  add_wheel(t, "trail", "trail.axle");
  return t;
}

Tables tables_of(const End& e, double s, double half) {
  switch (e.under) {
    case Under::rocker_arm:
      return rocker_arm(e, s);
    case Under::plain_arm:
      return plain_arm(e, s);
    case Under::wishbones:
      return wishbones(e, s);
    case Under::beam_on_arm:
      return beam_on_arm(e, s);
    case Under::live_axle:
      return live_axle();
    case Under::tied_arms:
      return tied_arms(e, s, half);
  }
  return {};
}

std::string written(Tables t, const std::string& name, bool other_order) {
  if (other_order)
    for (auto* list : {&t.bodies, &t.pins, &t.rods}) std::reverse(list->begin(), list->end());
  std::string text = fmt::format("[linkage.NAME]\nplane = \"{}\"\n[linkage.NAME.body]\n", t.plane);
  for (const auto& one : t.bodies) text += one;
  // Tables of different kinds may follow one another in any order, too.
  if (other_order) text += t.wheels + t.springs;
  for (const auto& one : t.rods) text += one;
  for (const auto& one : t.pins) text += one;
  if (!other_order) text += t.springs + t.wheels;
  for (std::size_t at; (at = text.find("NAME")) != std::string::npos;) text.replace(at, 4, name);
  return text;
}

}  // namespace

MachineChoice draw_machine() {
  MachineChoice c;
  const auto draw_end = [](Under under) {
    End e;
    e.under = under;
    e.seat = half_steps(-1, 1);
    e.pushrod = half_steps(5, 7);
    e.across = half_steps(0, 2);
    e.rate_n_per_mm = 0.05 * *rc::gen::inRange(10, 26);
    e.preload_n = 0.25 * *rc::gen::inRange(0, 12);
    e.count = *rc::gen::inRange(1, 3);
    e.extra = heads();
    const bool apart = under != Under::live_axle && under != Under::tied_arms;
    if (apart && *rc::gen::inRange(0, 3) == 0) e.bar_rate = 2.0 * *rc::gen::inRange(1, 8);
    return e;
  };
  const int layout = *rc::gen::inRange(0, 6);
  if (layout == 0) {
    c.ends = {draw_end(Under::tied_arms)};
  } else if (layout == 1) {
    // A body on a free pivot rolls on the other end alone, which therefore is sprung on both sides.
    c.ends = {draw_end(Under::live_axle), draw_end(heads() ? Under::plain_arm : Under::rocker_arm)};
  } else {
    constexpr Under front[] = {Under::rocker_arm, Under::plain_arm, Under::wishbones};
    constexpr Under rear[] = {Under::rocker_arm, Under::plain_arm, Under::wishbones, Under::beam_on_arm};
    c.ends = {draw_end(front[*rc::gen::inRange(0, 3)]), draw_end(rear[*rc::gen::inRange(0, 4)])};
  }
  c.mass_x = half_steps(-4, 3);
  c.mass_y = 0.25 * half_steps(-3, 3);
  c.mass_z = half_steps(2, 8);
  c.grams = 100 * *rc::gen::inRange(12, 34);
  c.half_wheelbase = half_steps(9, 14);
  c.unsprung_grams = 10.0 * *rc::gen::inRange(0, 6);
  if (heads()) c.tyre_rate_n_per_mm = 4.0 + *rc::gen::inRange(0, 8);
  return c;
}

std::string machine_text(const MachineChoice& c, const Writing& w) {
  const double s = w.scale, cube = s * s * s;
  std::string text = fmt::format("format = 1\nname = \"random\"\nmodule_mm = {}\n", 8 * s);
  text += fmt::format("[[mass]]\nname = \"load\"\ngrams = {}\nat = [{}, {}, {}]\nsize = [20, 8, 6]\n", c.grams * cube,
                      c.mass_x + w.shift_x, (w.mirrored ? -1 : 1) * c.mass_y, c.mass_z);
  std::vector<std::string> corners;
  std::string bars;
  for (std::size_t end = 0; end < c.ends.size(); ++end) {
    const End& e = c.ends[end];
    const std::string which = c.ends.size() == 1 ? "both" : end == 0 ? "front" : "rear";
    text += written(tables_of(e, s, c.half_wheelbase - 8), which, w.other_order);
    const bool front_plane = e.under == Under::wishbones || e.under == Under::live_axle;
    // Arms lead in front and trail behind, their wheels half a wheelbase from the middle.
    const double reach = front_plane ? 0 : e.under == Under::rocker_arm ? 8 : 9;
    const double x = c.ends.size() == 1 ? 0 : (end == 0 ? 1 : -1) * (c.half_wheelbase - (front_plane ? 0 : reach - 8));
    std::vector<int> sides = e.under == Under::live_axle ? std::vector<int>{0} : std::vector<int>{1, -1};
    if (w.mirrored)
      for (int& side : sides) side = -side;
    for (const int side : sides) {
      const double y = side * (front_plane ? 4.0 : 8.0);
      const bool flip = e.under == Under::live_axle ? w.mirrored : front_plane ? side < 0 : end == 1;
      const std::string name = which + (side == 0 ? "" : side > 0 ? " left" : " right");
      corners.push_back(
          fmt::format("[[corner]]\nname = \"{}\"\nlinkage = \"{}\"\nat = [{}, {}, 4]\nflip = {}\nunsprung_grams = {}\n",
                      name, which, x + w.shift_x, y, flip, c.unsprung_grams * cube));
    }
    if (e.bar_rate > 0)
      bars += fmt::format(
          "[[bar]]\nname = \"{0} bar\"\nends = [\"{0} left/arm\", \"{0} right/arm\"]\nrate_n_mm_per_deg = {1}\n", which,
          e.bar_rate * cube * s);
  }
  if (w.other_order) std::reverse(corners.begin(), corners.end());
  for (const std::string& corner : corners) text += corner;
  return text + bars;
}

Model machine(const MachineChoice& choice, const Writing& writing) {
  return read_random(machine_text(choice, writing), {56, choice.tyre_rate_n_per_mm}, writing.scale);
}

}  // namespace ridepitch::property
