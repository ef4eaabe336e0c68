#pragma once
// The model's structures refer to one another by int; its lists count in std::size_t.

#include <cstddef>

namespace ridepitch {

auto& at(auto& list, int index) { return list[static_cast<std::size_t>(index)]; }

int count(const auto& list) { return static_cast<int>(list.size()); }

}  // namespace ridepitch
