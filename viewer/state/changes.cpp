#include "state/changes.hpp"

#include <algorithm>
#include <array>

namespace ridepitch::view {
namespace {

/// A change's kind, and the indices of what it changes.
std::array<int, 4> thing_of(const Change& change) {
  struct Indices {
    std::array<int, 3> operator()(const MoveHole& c) const { return {c.linkage, c.body, c.hole}; }
    std::array<int, 3> operator()(const SetLength& c) const { return {c.linkage, c.rod}; }
    std::array<int, 3> operator()(const SetSpring& c) const { return {c.linkage, c.spring}; }
    std::array<int, 3> operator()(const RemoveSpring& c) const { return {c.linkage, c.spring}; }
    std::array<int, 3> operator()(const RemoveBar& c) const { return {c.bar}; }
  };
  const auto [a, b, c] = std::visit(Indices{}, change);
  return {static_cast<int>(change.index()), a, b, c};
}

/// A spring's change with an empty part keeps the part that the change before it chose.
void keep_part(const Change& old, Change& later) {
  const auto* before = std::get_if<SetSpring>(&old);
  auto* after = std::get_if<SetSpring>(&later);
  if (before && after && after->part.empty()) after->part = before->part;
}

}  // namespace

bool same_thing(const Change& a, const Change& b) { return thing_of(a) == thing_of(b); }

Changes merged(const Model& base, const Changes& old, const Changes& more) {
  Changes out = old;
  for (Change each : more) {
    const auto found = std::find_if(out.begin(), out.end(), [&](const Change& o) { return same_thing(o, each); });
    if (found == out.end()) {
      out.push_back(std::move(each));
    } else {
      keep_part(*found, each);
      *found = std::move(each);
    }
  }
  std::erase_if(out, [&](const Change& each) { return is_already_so(base, each); });
  return out;
}

}  // namespace ridepitch::view
