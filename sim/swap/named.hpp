#pragma once

#include <algorithm>
#include <string>
#include <vector>

namespace ridepitch {

/// The first of that name; null if there is none.
template <class Named>
const Named* named(const std::vector<Named>& list, const std::string& name) {
  const auto found = std::find_if(list.begin(), list.end(), [&](const Named& each) { return each.name == name; });
  return found == list.end() ? nullptr : &*found;
}

}  // namespace ridepitch
