#include "swap/place_words.hpp"

#include <fmt/format.h>

namespace ridepitch {

std::string place_words(const Vec2& p_mm, double module_mm) {
  return fmt::format("[{:g}, {:g}]", p_mm.x() / module_mm + 0.0, p_mm.y() / module_mm + 0.0);
}

}  // namespace ridepitch
