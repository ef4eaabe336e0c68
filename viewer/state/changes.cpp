#include "state/changes.hpp"

#include <algorithm>

namespace ridepitch::view {
namespace {

struct SameThing {
  bool operator()(const MoveHole& a, const MoveHole& b) const {
    return a.linkage == b.linkage && a.body == b.body && a.hole == b.hole;
  }
  bool operator()(const SetLength& a, const SetLength& b) const { return a.linkage == b.linkage && a.rod == b.rod; }
  bool operator()(const SetSpring& a, const SetSpring& b) const {
    return a.linkage == b.linkage && a.spring == b.spring;
  }
  bool operator()(const RemoveSpring& a, const RemoveSpring& b) const { return a == b; }
  bool operator()(const RemoveBar& a, const RemoveBar& b) const { return a == b; }
  template <class A, class B>
  bool operator()(const A&, const B&) const {
    return false;
  }
};

/// A spring's change with an empty part keeps the part that the change before it chose.
void keep_part(const Change& old, Change& later) {
  const auto* before = std::get_if<SetSpring>(&old);
  auto* after = std::get_if<SetSpring>(&later);
  if (before && after && after->part.empty()) after->part = before->part;
}

}  // namespace

bool same_thing(const Change& a, const Change& b) { return std::visit(SameThing{}, a, b); }

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
