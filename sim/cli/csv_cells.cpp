#include "cli/csv_cells.hpp"

#include <fmt/format.h>

#include <cmath>

namespace ridepitch {

std::string csv_text(const std::string& text) {
  if (text.find_first_of(",\"\r\n") == std::string::npos) return text;
  std::string out = "\"";
  for (const char letter : text) {
    if (letter == '"') out += '"';
    out += letter;
  }
  return out + "\"";
}

std::string csv_number(std::optional<double> value) {
  return value && std::isfinite(*value) ? fmt::format("{}", *value) : "";
}

}  // namespace ridepitch
