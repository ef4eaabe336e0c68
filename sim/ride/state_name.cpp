#include "ride/state_name.hpp"

namespace ridepitch {

std::string_view state_name(WheelState state) {
  switch (state) {
    case WheelState::lifted:
      return "lifted";
    case WheelState::topped:
      return "topped";
    case WheelState::bottomed:
      return "bottomed";
    case WheelState::fixed:
      return "fixed";
    case WheelState::riding:
      break;
  }
  return "riding";
}

}  // namespace ridepitch
