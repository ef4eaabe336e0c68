#include "steer/steered.hpp"

#include <fmt/format.h>
#include <gtest/gtest.h>

#include <algorithm>

#include "ride/solve.hpp"

namespace ridepitch {

std::string four_wheels() {
  std::string text = "format = 1\nname = \"bench\"\n" + upright({.name = "way",
                                                                 .top = 8,
                                                                 .free_mm = 70,
                                                                 .solid_mm = 40,
                                                                 .more = "stroke = [-1, 1.25]",
                                                                 .near_eye = "",
                                                                 .tyre = "part = \"tyre-69\""});
  for (const auto& [name, x] : {std::pair("front", 16), std::pair("rear", -16)})
    text += fmt::format(
        "[[corner]]\nname = \"{} left\"\nlinkage = \"way\"\nat = [{}, 8, 4]\nload_n = 5\nmirror = true\n", name, x);
  return text;
}

namespace {

SteerResult steer_text(const std::string& text, int points) {
  const Model model = read_rig(text);
  Solution solution;
  const bool sprung = std::any_of(model.corners.begin(), model.corners.end(), [&](const Corner& corner) {
    return model.linkages[static_cast<std::size_t>(corner.linkage)].plane != Plane::top;
  });
  if (sprung) {
    SolveResult rest = solve(model);
    for (const Problem& problem : rest.problems) ADD_FAILURE() << problem.text;
    if (rest.solution) solution = std::move(*rest.solution);
  }
  return steer(model, solution, {.points = points, .clearance = false});
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

DrivePath way_of(const Model& model, const std::string& linkage) {
  AssembleResult assembled = assemble(linkage_named(model, linkage), model.module_mm);
  for (const Problem& problem : assembled.problems) ADD_FAILURE() << problem.text;
  if (!assembled.assembly) return {};
  DrivePathOrProblem found = find_drive_path(*assembled.assembly, model.module_mm);
  if (found.problem) ADD_FAILURE() << found.problem->text;
  return found.path ? std::move(*found.path) : DrivePath{};
}

Eigen::VectorXd placed(DrivePath& way, double drive) {
  DriveWorkspace room;
  prepare(way, room);
  Eigen::VectorXd q;
  EXPECT_TRUE(place_drive(way, drive, room, q)) << drive;
  return q;
}

DriveSweep sweep_drive(DrivePath& path, double least, double greatest, int points) {
  DriveSweep sweep;
  DriveWorkspace workspace;
  prepare(path, workspace);
  sweep.q.resize(path.mechanism.coordinates(), points);
  Eigen::VectorXd q(path.mechanism.coordinates());
  for (int i = 0; i < points; ++i) {
    const double share = static_cast<double>(i) / (points - 1);
    double drive = i + 1 == points ? greatest : least + share * (greatest - least);
    // The middle of a range that lies even about 0 is 0, not what rounding leaves of it.
    if (std::abs(drive) < 1e-12 * (greatest - least)) drive = 0;
    place_drive(path, drive, workspace, q);
    sweep.drive.push_back(drive);
    sweep.q.col(i) = q;
  }
  return sweep;
}

Eigen::Index angle_of(const Model& model, const std::string& linkage, const std::string& body) {
  const Linkage& of = linkage_named(model, linkage);
  for (std::size_t b = 1; b < of.bodies.size(); ++b)
    if (of.bodies[b].name == body) return 3 * static_cast<Eigen::Index>(b - 1) + 2;
  ADD_FAILURE() << "no body " << body;
  return 2;
}

}  // namespace ridepitch
