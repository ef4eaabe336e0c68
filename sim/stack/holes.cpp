#include "stack/holes.hpp"

#include <string>

#include <fmt/format.h>

#include "model/index.hpp"
#include "stack/made_of.hpp"

namespace ridepitch {
namespace {

std::string place_text(const Vec2& at_mm, double module_mm) {
  const auto modules = [&](double mm) { return fmt::format("{:.4g}", mm / module_mm + 0.0); };
  return fmt::format("[{}, {}]", modules(at_mm.x()), modules(at_mm.y()));
}

std::string parts_text(const MadeOf& made) {
  std::string text = made.parts.front().placed.part;
  for (std::size_t i = 1; i < made.parts.size(); ++i)
    text += (i + 1 < made.parts.size() ? ", " : " and ") + made.parts[i].placed.part;
  return text;
}

Finding missing(const Linkage& linkage, const Body& body, const Hole& hole, const MadeOf& made,
                const FoundHole& nearest, double module_mm) {
  return {.level = Level::problem,
          .code = "no-such-hole",
          .where = fmt::format("{}/{}.{}", linkage.name, body.name, hole.name),
          .text = fmt::format("{} {} no hole at {}: the nearest is at {}", parts_text(made),
                              made.parts.size() > 1 ? "have" : "has", place_text(hole.p_B, module_mm),
                              place_text(nearest.at_mm, module_mm)),
          .remedy = body.built.empty() ? "move it to a hole of the part, or take a part that has one there"
                                       : "move it to a hole of its parts, or lay a part so that it has one there"};
}

Finding locked(const Linkage& linkage, const Pin& pin, const Body& one, const Body& other) {
  return {
      .level = Level::problem,
      .code = "no-such-hole",
      .where = linkage.name + "/" + pin.name,
      .text = fmt::format("bodies '{}' and '{}' both sit in cross holes here: both are tied to the axle, so neither "
                          "can turn on the other",
                          one.name, other.name),
      .remedy = "put one of them in a round hole"};
}

}  // namespace

std::vector<Finding> find_missing_holes(const Model& model) {
  std::vector<Finding> findings;
  for (const Linkage& linkage : model.linkages) {
    std::vector<std::vector<bool>> cross;  // [body][hole]
    for (const Body& body : linkage.bodies) {
      const MadeOf made = made_of(model.catalogue, model.module_mm, body);
      cross.emplace_back(body.holes.size(), false);
      if (made.free()) continue;
      for (std::size_t h = 0; h < body.holes.size(); ++h) {
        const FoundHole nearest = *nearest_hole(made, model.module_mm, body.holes[h].p_B);
        if (meets(nearest, model.module_mm))
          cross.back()[h] = nearest.cross;
        else
          findings.push_back(missing(linkage, body, body.holes[h], made, nearest, model.module_mm));
      }
    }
    for (const Pin& pin : linkage.pins) {
      const Body* tied = nullptr;  // to the axle
      for (const HoleRef ref : pin.holes) {
        if (!at(cross, ref.body)[static_cast<std::size_t>(ref.hole)]) continue;
        if (tied) findings.push_back(locked(linkage, pin, *tied, at(linkage.bodies, ref.body)));
        tied = &at(linkage.bodies, ref.body);
      }
    }
  }
  return findings;
}

}  // namespace ridepitch
