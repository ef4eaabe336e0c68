#include "steer/standing.hpp"

#include <gtest/gtest.h>

#include <fstream>
#include <sstream>

#include "linkage/assemble.hpp"

namespace ridepitch {

Standing standing(const std::string& text) {
  ReadModel read = read_model_text(text, "written.toml");
  for (const Problem& problem : read.problems)
    ADD_FAILURE() << problem.place.line << ": " << problem.text << "\n" << text;
  Standing out;
  out.model = read.model.value_or(Model{});
  if (!read.model) return out;
  const SolveResult solved = solve(out.model);
  for (const Problem& problem : solved.problems) ADD_FAILURE() << problem.code << ": " << problem.text;
  out.solution = solved.solution.value_or(Solution{});
  return out;
}

std::string model_text(const std::string& name) {
  std::ifstream file(std::string(RIDEPITCH_SOURCE_DIR) + "/tests/steer/models/" + name + ".toml");
  EXPECT_TRUE(file.is_open()) << name;
  std::stringstream text;
  text << file.rdbuf();
  return text.str();
}

int steering_corner(const Model& model) {
  for (std::size_t c = 0; c < model.corners.size(); ++c)
    if (model.linkages[static_cast<std::size_t>(model.corners[c].linkage)].plane == Plane::top)
      return static_cast<int>(c);
  ADD_FAILURE() << "no top linkage";
  return 0;
}

DriveWay drive_way(const Standing& at) {
  const Corner& corner = at.model.corners[static_cast<std::size_t>(steering_corner(at.model))];
  const AssembleResult result =
      assemble(at.model.linkages[static_cast<std::size_t>(corner.linkage)], at.model.module_mm);
  EXPECT_TRUE(result.assembly.has_value());
  DriveWayOrProblem way = find_drive_way(*result.assembly, at.model.module_mm);
  EXPECT_TRUE(way.way.has_value());
  return std::move(*way.way);
}

std::vector<BumpSteer> straight_bump_steer(const Standing& at) {
  return bump_steer(at.model, at.solution, steering_corner(at.model), {});
}

}  // namespace ridepitch
