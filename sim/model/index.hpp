#pragma once
// Entries of lists: by signed index, as a model's structures refer to one another and Eigen counts, and by name.

#include <algorithm>
#include <cstddef>
#include <string_view>
#include <vector>

namespace ridepitch {

decltype(auto) at(auto& list, std::ptrdiff_t index) { return list[static_cast<std::size_t>(index)]; }

int count(const auto& list) { return static_cast<int>(list.size()); }

/// The first of that name; null if there is none.
template <class Named>
const Named* named(const std::vector<Named>& list, std::string_view name) {
  const auto found = std::find_if(list.begin(), list.end(), [&](const Named& each) { return each.name == name; });
  return found == list.end() ? nullptr : &*found;
}

/// Its index; -1 if there is none.
template <class Named>
int index_of(const std::vector<Named>& list, std::string_view name) {
  const Named* found = named(list, name);
  return found ? static_cast<int>(found - list.data()) : -1;
}

}  // namespace ridepitch
