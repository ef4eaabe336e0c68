#include "stack/pins.hpp"

#include <algorithm>
#include <limits>
#include <map>

#include "model/index.hpp"

namespace ridepitch {
namespace {

constexpr double rounding_modules = 1e-9;

bool is_smooth(const std::string& name) { return name.ends_with("-smooth"); }
bool is_axle(const std::string& name) { return name.starts_with("axle-"); }

/// The shortest pin of the catalogue that serves and is long enough: shared/parts/pins.toml says how their names are formed.
void choose_part(const Catalogue& catalogue, bool (*serves)(const std::string& name), NeededPin& pin) {
  for (const auto& [name, part] : catalogue) {
    const auto* piece = std::get_if<Piece>(&part.data);
    if (!piece || piece->kind != "pin" || !piece->length || !serves(name)) continue;
    if (*piece->length < pin.needed - rounding_modules || (pin.length && *pin.length <= *piece->length)) continue;
    pin.length = piece->length;
    pin.part = name;
  }
}

/// Wheels take an axle; a pivot takes a smooth pin, which turns freely, and an axle where none is long enough.
void choose_part(const Catalogue& catalogue, NeededPin& pin) {
  if (!pin.axle) choose_part(catalogue, is_smooth, pin);
  if (!pin.length) choose_part(catalogue, is_axle, pin);
}

struct Span {
  double from = std::numeric_limits<double>::infinity(), to = -from;
};

void take_in(Span& span, const StackItem& item, int slice) {
  for (const StackSheet& sheet : item.sheets)
    for (const Across& wall : sheet.walls) {
      span.from = std::min(span.from, wall.from + slice);
      span.to = std::max(span.to, wall.to + slice);
    }
}

/// Whether a joint is with a chassis that is no item.
bool meets_free_chassis(const Linkage& linkage, const StackParts& parts, const StackJoint& joint) {
  const bool chassis_is_item = std::any_of(parts.items.begin(), parts.items.end(), [](const StackItem& item) {
    return item.kind == StackKind::body && item.index == chassis;
  });
  if (chassis_is_item) return false;
  if (joint.point.pieces[0].a.body == chassis) return true;
  return std::any_of(linkage.pins.begin(), linkage.pins.end(), [&](const Pin& pin) {
    return pin.name == joint.name &&
           std::any_of(pin.holes.begin(), pin.holes.end(), [](HoleRef hole) { return hole.body == chassis; });
  });
}

}  // namespace

std::vector<NeededPin> needed_pins(const Model& model, int linkage, const StackParts& parts,
                                   const std::vector<int>& places) {
  const Linkage& of = at(model.linkages, linkage);
  std::vector<NeededPin> pins;
  for (const StackJoint& joint : parts.joints) {
    NeededPin pin;
    pin.axle = joint.wheel >= 0;
    pin.joint = pin.axle ? at(of.wheels, joint.wheel).name : joint.name;
    pin.meets_free = !pin.axle && meets_free_chassis(of, parts, joint);
    if (joint.items.size() + (pin.meets_free ? 1 : 0) < 2) continue;
    Span span;
    for (const int item : joint.items) take_in(span, at(parts.items, item), at(places, item));
    pin.needed = span.to - span.from + (pin.meets_free ? 1 : 0);
    choose_part(model.catalogue, pin);
    pins.push_back(std::move(pin));
  }
  return pins;
}

std::vector<std::pair<std::string, int>> joint_parts(const Model& model, const Stacks& stacks) {
  std::map<std::string, int> counts;
  for (const LinkageStack& stack : stacks.linkages) {
    const auto corners = std::count_if(model.corners.begin(), model.corners.end(),
                                       [&](const Corner& corner) { return corner.linkage == stack.linkage; });
    for (const NeededPin& pin : stack.pins)
      if (!pin.part.empty()) counts[pin.part] += static_cast<int>(corners);
  }
  return {counts.begin(), counts.end()};
}

}  // namespace ridepitch
