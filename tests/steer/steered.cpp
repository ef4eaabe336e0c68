#include "steer/steered.hpp"

#include <fmt/format.h>
#include <gtest/gtest.h>

#include <algorithm>

#include "ride/solve.hpp"

namespace ridepitch {

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

std::string four_wheels() {
  std::string text = R"(format = 1
name = "bench"
[linkage.way]
plane = "side"
[linkage.way.body]
chassis = { holes = { guide = [0, 0], seat = [0, 8] } }
carrier = { holes = { eye = [0, 0] } }
[linkage.way.slide.way]
hole = "carrier.eye"
through = "chassis.guide"
along = [0, 1]
stroke = [-1, 1.25]
[linkage.way.spring.main]
kind = "coil"
free_mm = 70
solid_mm = 40
rate_n_per_mm = 0.5
from = "carrier.eye"
to = "chassis.seat"
[linkage.way.wheel.hub]
at = "carrier.eye"
part = "tyre-69"
)";
  for (const auto& [name, x] : {std::pair("front", 16), std::pair("rear", -16)})
    text += fmt::format(
        "[[corner]]\nname = \"{} left\"\nlinkage = \"way\"\nat = [{}, 8, 4]\nload_n = 5\nmirror = true\n", name, x);
  return text;
}

std::string top_corner(const std::string& linkage, double x, bool flip) {
  return fmt::format("[[corner]]\nname = \"{0} corner\"\nlinkage = \"{0}\"\nat = [{1}, 0, 4]\nflip = {2}\n", linkage, x,
                     flip);
}

Model read_written(const std::string& text) {
  ReadModel read = read_model_text(text, "written.toml");
  for (const Problem& problem : read.problems) ADD_FAILURE() << problem.place.line << ": " << problem.text;
  EXPECT_TRUE(read.model);
  return read.model ? std::move(*read.model) : Model{};
}

namespace {

SteerResult steer_text(const std::string& text, int points) {
  const Model model = read_written(text);
  Solution solution;
  const bool sprung = std::any_of(model.corners.begin(), model.corners.end(), [&](const Corner& corner) {
    return model.linkages[static_cast<std::size_t>(corner.linkage)].plane != Plane::top;
  });
  if (sprung) {
    SolveResult rest = solve(model);
    for (const Problem& problem : rest.problems) ADD_FAILURE() << problem.text;
    if (rest.solution) solution = std::move(*rest.solution);
  }
  return steer(model, solution, {.points = points});
}

}  // namespace

Steered steered(const std::string& text, int points) {
  SteerResult result = steer_text(text, points);
  for (const Problem& problem : result.problems) ADD_FAILURE() << problem.place.line << ": " << problem.text;
  EXPECT_TRUE(result.steered);
  return result.steered ? std::move(*result.steered) : Steered{};
}

Problem refused(const std::string& text) {
  const SteerResult result = steer_text(text, 21);
  EXPECT_FALSE(result.steered);
  EXPECT_EQ(result.problems.size(), 1u);
  return result.problems.empty() ? Problem{} : result.problems.front();
}

bool has_finding(const Steered& steered, const std::string& code) {
  return std::any_of(steered.findings.begin(), steered.findings.end(),
                     [&](const Finding& f) { return f.code == code; });
}

Finding finding(const Steered& steered, const std::string& code) {
  for (const Finding& each : steered.findings)
    if (each.code == code) return each;
  ADD_FAILURE() << "no finding " << code;
  return {};
}

namespace {

const Linkage& linkage_named(const Model& model, const std::string& name) {
  return *std::find_if(model.linkages.begin(), model.linkages.end(),
                       [&](const Linkage& each) { return each.name == name; });
}

}  // namespace

DriveWay way_of(const Model& model, const std::string& linkage) {
  AssembleResult assembled = assemble(linkage_named(model, linkage), model.module_mm);
  for (const Problem& problem : assembled.problems) ADD_FAILURE() << problem.text;
  if (!assembled.assembly) return {};
  DriveWayOrProblem found = find_drive_way(*assembled.assembly, model.module_mm);
  if (found.problem) ADD_FAILURE() << found.problem->text;
  return found.way ? std::move(*found.way) : DriveWay{};
}

Eigen::VectorXd placed(DriveWay& way, double drive) {
  DriveRoom room;
  prepare(way, room);
  Eigen::VectorXd q;
  EXPECT_TRUE(place_drive(way, drive, room, q)) << drive;
  return q;
}

Eigen::Index angle_of(const Model& model, const std::string& linkage, const std::string& body) {
  const Linkage& of = linkage_named(model, linkage);
  for (std::size_t b = 1; b < of.bodies.size(); ++b)
    if (of.bodies[b].name == body) return 3 * static_cast<Eigen::Index>(b - 1) + 2;
  ADD_FAILURE() << "no body " << body;
  return 2;
}

}  // namespace ridepitch
