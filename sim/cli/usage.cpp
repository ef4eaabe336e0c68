#include "cli/usage.hpp"

#include <fmt/format.h>

#include <charconv>
#include <cmath>

#include "cli/page.hpp"
#include "model/nearest_name.hpp"

namespace ridepitch {

Problem usage(std::string text, std::string hint) {
  return {.code = "usage", .text = std::move(text), .hint = std::move(hint)};
}

std::string suggestion(const std::string& word, const std::vector<std::string>& known, const std::string& otherwise) {
  const std::string nearest = nearest_name(word, known);
  return nearest.empty() ? otherwise : fmt::format("did you mean '{}'?", shown(nearest));
}

std::optional<double> read_number(const std::string& word) {
  double value = 0;
  const char* const end = word.data() + word.size();
  const char* const begin = word.data() + (word.starts_with('+') ? 1 : 0);
  const auto [rest, error] = std::from_chars(begin, end, value);
  if (begin == end || error != std::errc() || rest != end || !std::isfinite(value)) return std::nullopt;
  return value;
}

}  // namespace ridepitch
