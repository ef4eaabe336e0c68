#include "ride/holes_off.hpp"

#include <fmt/format.h>

#include "model/index.hpp"

namespace ridepitch {
namespace {

void add_holes(const Model& model, int l, std::vector<HoleOff>& all) {
  const Linkage& linkage = at(model.linkages, l);
  for (int b = 0; b < count(linkage.bodies); ++b)
    for (int h = 0; h < count(at(linkage.bodies, b).holes); ++h)
      for (const Vec2& step : {Vec2(1, 0), Vec2(-1, 0), Vec2(0, 1), Vec2(0, -1)}) {
        const Vec2 there_mm = at(at(linkage.bodies, b).holes, h).p_B + step * model.module_mm;
        const Vec2 there = there_mm / model.module_mm;
        all.push_back({[=](Model& out) { at(at(at(out.linkages, l).bodies, b).holes, h).p_B = there_mm; },
                       fmt::format("hole {} of {}", hole_name(linkage, {b, h}), linkage.name),
                       fmt::format("one hole off: [{:g}, {:g}]", there.x(), there.y())});
      }
}

void add_rods(const Model& model, int l, std::vector<HoleOff>& all) {
  const Linkage& linkage = at(model.linkages, l);
  for (int r = 0; r < count(linkage.rods); ++r)
    for (const double step : {1.0, -1.0}) {
      const Rod& rod = at(linkage.rods, r);
      const double length_mm = rod.length_mm + step * model.module_mm;
      if (length_mm <= rod.across_mm) continue;
      all.push_back(
          {[=](Model& out) { at(at(out.linkages, l).rods, r).length_mm = length_mm; },
           fmt::format("rod {} of {}", rod.name, linkage.name),
           fmt::format("one hole {}: {:g} modules", step > 0 ? "longer" : "shorter", length_mm / model.module_mm)});
    }
}

}  // namespace

std::vector<HoleOff> holes_off(const Model& model, int linkage) {
  std::vector<HoleOff> all;
  add_holes(model, linkage, all);
  add_rods(model, linkage, all);
  return all;
}

}  // namespace ridepitch
