#pragma once
// The nearest of a list.

#include <cstddef>
#include <limits>

namespace ridepitch::view {

/// The index of the first of `count` things that is nearest; 0 of none. @param distance  of the thing at an index
template <class Distance>
std::size_t nearest_of(std::size_t count, const Distance& distance) {
  std::size_t best = 0;
  double least = std::numeric_limits<double>::infinity();
  for (std::size_t i = 0; i < count; ++i) {
    const double d = distance(i);
    if (d < least) {
      least = d;
      best = i;
    }
  }
  return best;
}

}  // namespace ridepitch::view
