#include "ride/state_name.hpp"

#include <array>

namespace ridepitch {

std::string_view state_name(WheelState state) {
  static constexpr std::array names = {"lifted", "topped", "riding", "bottomed", "fixed"};  // as WheelState has them
  return names[static_cast<std::size_t>(state)];
}

}  // namespace ridepitch
