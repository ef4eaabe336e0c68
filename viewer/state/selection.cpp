#include "state/selection.hpp"

#include <algorithm>

#include "model/index.hpp"

namespace ridepitch::view {
namespace {

int around(int index, int size) { return size == 0 ? 0 : ((index % size) + size) % size; }

}  // namespace

int linkage_index(const Model& model, const Selection& selection) {
  return at(model.corners, selection.corner).linkage;
}

const Linkage& linkage_of(const Model& model, const Selection& selection) {
  return at(model.linkages, linkage_index(model, selection));
}

std::string selected_name(const Model& model, const Selection& selection) {
  const Linkage& linkage = linkage_of(model, selection);
  const auto name_in = [&](const auto& list) { return at(list, selection.index).name; };
  if (selection.thing == Thing::hole) return hole_name(linkage, {selection.body, selection.index});
  if (selection.thing == Thing::rod) return name_in(linkage.rods);
  if (selection.thing == Thing::spring) return name_in(linkage.springs);
  if (selection.thing == Thing::wheel) return name_in(linkage.wheels);
  return "";
}

std::vector<Selection> selectable(const Model& model, int corner) {
  std::vector<Selection> all;
  const Linkage& linkage = linkage_of(model, {.corner = corner});
  for (int b = 0; b < count(linkage.bodies); ++b)
    for (int h = 0; h < count(at(linkage.bodies, b).holes); ++h) all.push_back({corner, Thing::hole, b, h});
  const auto add = [&](Thing thing, int size) {
    for (int i = 0; i < size; ++i) all.push_back({corner, thing, 0, i});
  };
  add(Thing::rod, count(linkage.rods));
  add(Thing::spring, count(linkage.springs));
  add(Thing::wheel, count(linkage.wheels));
  return all;
}

Selection next_thing(const Model& model, const Selection& selection, int step) {
  const std::vector<Selection> all = selectable(model, selection.corner);
  const auto here = std::find(all.begin(), all.end(), selection);
  if (here == all.end()) return step > 0 ? all.front() : all.back();
  return at(all, around(static_cast<int>(here - all.begin()) + step, count(all)));
}

Selection next_corner(const Model& model, const Selection& selection, int step) {
  Selection out = selection;
  out.corner = around(selection.corner + step, count(model.corners));
  return still_valid(model, out);
}

Selection still_valid(const Model& model, const Selection& selection) {
  if (selection.corner < 0 || selection.corner >= count(model.corners)) return {};
  const std::vector<Selection> all = selectable(model, selection.corner);
  if (std::find(all.begin(), all.end(), selection) == all.end()) return {.corner = selection.corner};
  return selection;
}

Changes hole_moved(const Model& model, const Selection& selection, const Vec2& by_modules) {
  if (selection.thing != Thing::hole) return {};
  const Hole& hole = at(at(linkage_of(model, selection).bodies, selection.body).holes, selection.index);
  return {MoveHole{linkage_index(model, selection), selection.body, selection.index,
                   hole.p_B + model.module_mm * by_modules}};
}

Changes rod_lengthened(const Model& model, const Selection& selection, double by_modules) {
  if (selection.thing != Thing::rod) return {};
  const Rod& rod = at(linkage_of(model, selection).rods, selection.index);
  const double length_mm = rod.length_mm + by_modules * model.module_mm;
  const double least_mm = std::max(0.25 * model.module_mm, rod.across_mm + 1e-6);
  if (length_mm < least_mm) return {};
  return {SetLength{linkage_index(model, selection), selection.index, length_mm}};
}

std::vector<std::string> parts_for(const Model& model, int linkage, int spring) {
  const Spring& now = at(at(model.linkages, linkage).springs, spring);
  std::vector<std::string> names;
  for (const auto& [name, part] : model.catalogue) {
    if (same_kind(now, part)) names.push_back(name);
  }
  return names;
}

Changes spring_exchanged(const Model& model, const Selection& selection, int step) {
  if (selection.thing != Thing::spring) return {};
  const int linkage = linkage_index(model, selection);
  const std::vector<std::string> parts = parts_for(model, linkage, selection.index);
  if (parts.empty()) return {};
  const Spring& now = at(at(model.linkages, linkage).springs, selection.index);
  const auto here = std::find(parts.begin(), parts.end(), now.part);
  const int from = here == parts.end() ? (step > 0 ? -1 : 0) : static_cast<int>(here - parts.begin());
  return {SetSpring{linkage, selection.index, at(parts, around(from + step, count(parts))), now.count}};
}

Changes spring_count(const Model& model, const Selection& selection, int more) {
  if (selection.thing != Thing::spring) return {};
  const Spring& now = at(linkage_of(model, selection).springs, selection.index);
  return {SetSpring{linkage_index(model, selection), selection.index, now.part, std::max(1, now.count + more)}};
}

}  // namespace ridepitch::view
