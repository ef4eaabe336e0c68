#include "steer/standing.hpp"

#include <gtest/gtest.h>

#include "linkage/assemble.hpp"

namespace ridepitch {

std::string model_text(const std::string& name) { return text_of(source_path("tests/steer/models/" + name + ".toml")); }

int steering_corner(const Model& model) {
  for (std::size_t c = 0; c < model.corners.size(); ++c)
    if (model.linkages[static_cast<std::size_t>(model.corners[c].linkage)].plane == Plane::top)
      return static_cast<int>(c);
  ADD_FAILURE() << "no top linkage";
  return 0;
}

DrivePath drive_way(const Standing& at) {
  const Corner& corner = at.model.corners[static_cast<std::size_t>(steering_corner(at.model))];
  const AssembleResult result =
      assemble(at.model.linkages[static_cast<std::size_t>(corner.linkage)], at.model.module_mm);
  EXPECT_TRUE(result.assembly.has_value());
  DrivePathOrProblem way = find_drive_path(*result.assembly, at.model.module_mm);
  EXPECT_TRUE(way.path.has_value());
  return std::move(*way.path);
}

std::vector<BumpSteer> straight_bump_steer(const Standing& at) {
  return bump_steer(at.model, at.solution, steering_corner(at.model), {});
}

}  // namespace ridepitch
