#include "rigs/scale.hpp"

#include <algorithm>
#include <cstdlib>

namespace ridepitch {

int scaled(int count, int least) {
  const char* scale = std::getenv("TEST_SCALE");
  return std::max(least, static_cast<int>(count * (scale ? std::atof(scale) : 1.0)));
}

}  // namespace ridepitch
