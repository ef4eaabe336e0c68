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

std::string count_text(std::uint64_t n) {
  std::string digits = std::to_string(n);
  for (std::size_t i = digits.size(); i > 3; i -= 3) digits.insert(i - 3, " ");
  return digits;
}

}  // namespace ridepitch
