#include "ride/floor.hpp"

#include <algorithm>
#include <array>

#include <fmt/format.h>

#include "model/index.hpp"
#include "model/nearest_name.hpp"

namespace ridepitch {

const char* toward_name(Toward toward) {
  static constexpr std::array names = {"left", "right", "front", "rear"};  // as Toward has them
  return names[static_cast<std::size_t>(toward)];
}

std::vector<Problem> check_floor(const Model& model, const Floor& floor) {
  if (model.bench)
    return {{.place = {.file = 0},
             .code = "no-vehicle",
             .text = "every corner has a load: each linkage is solved alone on the bench, and no vehicle stands on the "
                     "ground",
             .hint = "blocks and slopes need a model with masses, and corners without load_n or load_g"}};
  std::vector<Problem> problems;
  std::vector<std::string> names;
  for (const Corner& corner : model.corners) {
    const Linkage& linkage = at(model.linkages, corner.linkage);
    if (linkage.plane == Plane::top) continue;
    for (const Wheel& wheel : linkage.wheels) names.push_back(corner.name + "/" + wheel.name);
  }
  for (const Block& block : floor.blocks) {
    if (std::find(names.begin(), names.end(), block.wheel) != names.end()) continue;
    const auto of_corner = std::find_if(names.begin(), names.end(),
                                        [&](const std::string& name) { return name.rfind(block.wheel + "/", 0) == 0; });
    const std::string nearest = of_corner != names.end() ? *of_corner : nearest_name(block.wheel, names);
    problems.push_back(
        {.place = {.file = 0},
         .code = "unknown-name",
         .text = fmt::format("--block names '{}', but no wheel of that name stands on the ground", block.wheel),
         .hint = nearest.empty() ? fmt::format("its wheels: '{}'", fmt::join(names, "', '"))
                                 : fmt::format("did you mean '{}'?", nearest)});
  }
  return problems;
}

}  // namespace ridepitch
