#include "ride/floor.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "model/nearest_name.hpp"

namespace ridepitch {

const char* toward_name(Toward toward) {
  switch (toward) {
    case Toward::left:
      return "left";
    case Toward::right:
      return "right";
    case Toward::front:
      return "front";
    case Toward::rear:
      break;
  }
  return "rear";
}

std::vector<Problem> check_floor(const Model& model, const Floor& floor) {
  std::vector<Problem> problems;
  const auto refuse = [&](std::string code, std::string text, std::string hint) {
    Problem problem;
    problem.code = std::move(code);
    problem.place = {.file = 0};
    problem.text = std::move(text);
    problem.hint = std::move(hint);
    problems.push_back(std::move(problem));
  };
  if (model.bench) {
    refuse("no-vehicle",
           "every corner has a load: each linkage is solved alone on the bench, and no vehicle stands on the ground",
           "blocks and slopes need a model with masses, and corners without load_n or load_g");
    return problems;
  }
  std::vector<std::string> names;
  for (const Corner& corner : model.corners) {
    const Linkage& linkage = model.linkages[static_cast<std::size_t>(corner.linkage)];
    if (linkage.plane == Plane::top) continue;
    for (const Wheel& wheel : linkage.wheels) names.push_back(corner.name + "/" + wheel.name);
  }
  for (const Block& block : floor.blocks) {
    if (std::find(names.begin(), names.end(), block.wheel) != names.end()) continue;
    const auto of_corner = std::find_if(names.begin(), names.end(),
                                        [&](const std::string& name) { return name.rfind(block.wheel + "/", 0) == 0; });
    const std::string nearest = of_corner != names.end() ? *of_corner : nearest_name(block.wheel, names);
    std::string all;
    for (const std::string& name : names) all += (all.empty() ? "'" : ", '") + name + "'";
    refuse("unknown-name",
           fmt::format("--block names '{}', but no wheel of that name stands on the ground", block.wheel),
           nearest.empty() ? "its wheels: " + all : fmt::format("did you mean '{}'?", nearest));
  }
  return problems;
}

}  // namespace ridepitch
