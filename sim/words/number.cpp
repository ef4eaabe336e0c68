#include "words/number.hpp"

#include <fmt/format.h>

#include <cmath>

namespace ridepitch {

std::string number(std::optional<double> value, int decimals) {
  if (!value || !std::isfinite(*value)) return "-";
  const double too_long = 1e7;
  if (std::abs(*value) >= too_long) return fmt::format("{:.3g}", *value);
  std::string text = fmt::format("{:.{}f}", *value, decimals);
  if (text[0] == '-' && text.find_first_not_of("-0.") == std::string::npos) text.erase(0, 1);
  return text;
}

}  // namespace ridepitch
