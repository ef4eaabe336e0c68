#include "rigs/texts.hpp"

#include <fmt/format.h>

namespace ridepitch {
namespace {

/// What a coil pushes with, as keys of its table.
std::string push_keys(const std::string& law, double rate_n_per_mm, double preload_n) {
  return law.empty() ? fmt::format("rate_n_per_mm = {}\npreload_n = {}", rate_n_per_mm, preload_n) : "law = " + law;
}

}  // namespace

std::string on_bench(const std::string& tables, double load_n, const std::string& corner) {
  return fmt::format(
      "format = 1\nname = \"bench\"\n{}[[corner]]\nname = \"{}\"\nlinkage = \"l\"\nat = [0, 0, 4]\nload_n = {}\n",
      tables, corner, load_n);
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

std::string top_corner(const std::string& linkage, double x, bool flip) {
  return fmt::format("[[corner]]\nname = \"{0} corner\"\nlinkage = \"{0}\"\nat = [{1}, 0, 4]\nflip = {2}\n", linkage, x,
                     flip);
}

std::string on_drawing(const std::string& tables, const std::string& linkage) {
  return "format = 1\nname = \"drawing\"\n[[mass]]\nname = \"frame\"\ngrams = 100\nat = [0, 0, 0]\n" + tables +
         top_corner(linkage, 0);
}

std::string coil(const std::string& name, const std::string& from, const std::string& to, double free_mm,
                 double solid_mm, double rate_n_per_mm) {
  return fmt::format(
      "[linkage.l.spring.{}]\nkind = \"coil\"\nfree_mm = {}\nsolid_mm = {}\nrate_n_per_mm = {}\nfrom = \"{}\"\nto = "
      "\"{}\"\n",
      name, free_mm, solid_mm, rate_n_per_mm, from, to);
}

std::string fixed_wheel(const std::string& name) {
  return fmt::format(R"(
[linkage.{0}]
plane = "side"
[linkage.{0}.body]
chassis = {{ holes = {{ hub = [0, 0] }} }}
[linkage.{0}.wheel.hub]
at = "chassis.hub"
part = "tyre-62"
)",
                     name);
}

std::string arm(const Arm& rig) {
  return fmt::format(R"(
[linkage.l]
plane = "{}"
[linkage.l.body]
chassis = {{ holes = {{ root = [0, 0], seat = {}{} }} }}
arm = {{ holes = {{ root = [0, 0], {} }}, near = {{ axle = {} }} }}
{}
[[linkage.l.pin]]
join = ["chassis.root", "arm.root"]
[linkage.l.wheel.hub]
at = "arm.axle"
{}
{})",
                     rig.plane, rig.seat, rig.chassis_holes, rig.holes, rig.near_axle, rig.bodies, rig.tyre, rig.more);
}

std::string level_arm(const LevelArm& rig) {
  const double force_n = rig.load_n * 8 / rig.at / rig.count;
  return on_bench(
             arm({.seat = fmt::format("[{}, {}]", rig.at, rig.length_mm / 8),
                  .holes = fmt::format("coil = [{}, 0], axle = [8, 0]", rig.at),
                  .more = fmt::format(
                      R"([linkage.l.spring.main]
kind = "coil"
free_mm = {}
solid_mm = {}
{}
from = "arm.coil"
to = "chassis.seat"
count = {}
)",
                      rig.length_mm + rig.squeeze_mm, rig.length_mm - 25,
                      push_keys(rig.law, rig.rate_n_per_mm, force_n - rig.rate_n_per_mm * rig.squeeze_mm), rig.count),
                  .tyre = "part = \"tyre-69\""}),
             rig.load_n, "rear left") +
         rig.more;
}

std::string carrier(const Carrier& rig) {
  return fmt::format(R"(
[linkage.{0}]
plane = "side"
[linkage.{0}.body]
chassis = {{ holes = {{ guide = [0, 0]{1} }} }}
carrier = {{ holes = {{ eye = [0, 0] }}{2} }}
{3}
[linkage.{0}.slide.way]
hole = "carrier.eye"
through = "chassis.guide"
along = [0, 1]
{4}
[linkage.{0}.wheel.hub]
at = "carrier.eye"
{5}
)",
                     rig.name, rig.chassis_holes,
                     rig.near_eye.empty() ? "" : fmt::format(", near = {{ eye = {} }}", rig.near_eye), rig.bodies,
                     rig.more, rig.tyre);
}

std::string upright(const Upright& rig) {
  return carrier({.name = rig.name,
                  .chassis_holes = fmt::format(", top = [0, {}]{}", rig.top, rig.more_holes),
                  .more = fmt::format(R"({1}
[linkage.{0}.spring.main]
kind = "coil"
free_mm = {2}
solid_mm = {3}
{4}
from = "carrier.eye"
to = "chassis.top"
)",
                                      rig.name, rig.more, rig.free_mm, rig.solid_mm,
                                      push_keys(rig.law, rig.rate_n_per_mm, rig.preload_n)),
                  .near_eye = rig.near_eye,
                  .tyre = rig.tyre});
}

std::string rocker_arm(const RockerArm& rig) {
  return fmt::format(R"(
[linkage.l]
plane = "side"
[linkage.l.body]
chassis = {{ holes = {{ arm = [0, 0], rocker = [2, 6], seat = [-4, 9] }} }}
arm = {{ holes = {{ root = [0, 0], push = [5, 0], axle = [8, 0] }}, near = {{ axle = [8, 0] }} }}
rocker = {{ holes = {{ root = [0, 0], push = [3, 0], coil = [0, 3] }}, near = {{ push = [5, 6], coil = [2, 9] }} }}
[[linkage.l.pin]]
join = ["chassis.arm", "arm.root"]
[[linkage.l.pin]]
join = ["chassis.rocker", "rocker.root"]
[linkage.l.rod.pushrod]
from = "arm.push"
to = "rocker.push"
length = {}
across = {}
{}[linkage.l.wheel.hub]
at = "arm.axle"
part = "tyre-62"
)",
                     rig.pushrod, rig.across,
                     coil("main", "rocker.coil", "chassis.seat", rig.free_mm, rig.solid_mm, rig.rate_n_per_mm));
}

std::string rack_steering(const RackSteering& r) {
  const std::string same_left = r.end.empty() ? "" : fmt::format("same_as = \"{} left/hub\"\n", r.end);
  const std::string same_right = r.end.empty() ? "" : fmt::format("same_as = \"{} right/hub\"\n", r.end);
  const double inner = 6 - r.arm_in - r.rod;
  return fmt::format(R"(
[linkage.{0}]
plane = "top"
[linkage.{0}.body]
chassis = {{ holes = {{ left = [0, 6], right = [0, -6], guide = [{1}, 0]{2} }}{18} }}
knuckle-left = {{ holes = {{ king = [0, 0], arm = [{3}, {4}], hub = [0, 2] }}, near = {{ hub = [0, 8] }}{14} }}
knuckle-right = {{ holes = {{ king = [0, 0], arm = [{5}, {6}], hub = [0, -2] }}, near = {{ hub = [0, -8] }} }}
rack = {{ holes = {{ middle = [0, 0], left = [0, {7}], right = [0, {8}] }} }}
[[linkage.{0}.pin]]
join = ["chassis.left", "knuckle-left.king"]
[[linkage.{0}.pin]]
join = ["chassis.right", "knuckle-right.king"]
[linkage.{0}.slide.rack]
hole = "rack.middle"
through = "chassis.guide"
along = [0, 1]
{9}
[linkage.{0}.rod.left]
from = "rack.left"
to = "knuckle-left.arm"
length = {10}
[linkage.{0}.rod.right]
from = "rack.right"
to = "knuckle-right.arm"
length = {11}
[linkage.{0}.drive]
slide = "rack"
{12}
[linkage.{0}.wheel.left]
at = "knuckle-left.hub"
part = "tyre-69"
ahead = {13}
{15}[linkage.{0}.wheel.right]
at = "knuckle-right.hub"
part = "tyre-69"
ahead = {13}
{16}{17}
)",
                     r.name, r.guide_x, r.more_holes, r.arm_x, -r.arm_in, r.right_arm_x, r.arm_in, inner, -inner,
                     r.stroke.empty() ? "" : "stroke = " + r.stroke, r.rod, r.right_rod, r.drive, r.ahead, r.left_layer,
                     same_left, same_right, r.more, r.chassis_more);
}

std::string trial_arm() {
  return R"(# Trial arm; the spring was found in a drawer.
format = 1
name = "trial arm"

[linkage.l]
plane = "side"

[linkage.l.body]
chassis = { holes = { pivot = [0, 0], seat = [5, 6.5] } }   # the seat is the top hole
arm = { holes = { root = [0, 0], coil = [5, 0], axle = [8, 0] }, near = { axle = [8, 0] } }

[[linkage.l.pin]]
join = ["chassis.pivot", "arm.root"]

[linkage.l.spring.main]
kind = "coil"
free_mm = 60
solid_mm = 30
rate_n_per_mm = 1.6
from = "arm.coil"
to = "chassis.seat"

[linkage.l.wheel.hub]
at = "arm.axle"
part = "tyre-69"

[[corner]]
name = "rear left"
linkage = "l"
at = [0, 0, 4]
load_n = 8
)";
}

std::string steered_trial_arm() {
  return trial_arm() + R"(
[linkage.steer]
plane = "top"

[linkage.steer.body]
chassis = { holes = { guide = [0, 0], king = [2, 6] } }
rack = { holes = { middle = [0, 0], end = [0, 4] }, near = { end = [0, 4] } }
knuckle = { holes = { king = [0, 0], arm = [-2, 0], hub = [0, 1] }, near = { arm = [0, 6], hub = [2, 7] } }

[[linkage.steer.pin]]
join = ["chassis.king", "knuckle.king"]

[linkage.steer.rod.tie]
from = "rack.end"
to = "knuckle.arm"
length = 2

[linkage.steer.slide.rack]
hole = "rack.middle"
through = "chassis.guide"
along = [0, 1]
stroke = [-1, 1]

[linkage.steer.drive]
slide = "rack"

[linkage.steer.wheel.left]
at = "knuckle.hub"
part = "tyre-69"
ahead = [1, 0]
same_as = "rear left/hub"

[[corner]]
name = "steering"
linkage = "steer"
at = [10, 0, 4]
)";
}

}  // namespace ridepitch
