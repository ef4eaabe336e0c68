#include "model/number_token.hpp"

#include <algorithm>
#include <charconv>
#include <cstddef>

#include <fmt/format.h>

namespace ridepitch {
namespace {

double parsed(std::string_view token) {
  double value = 0;
  std::from_chars(token.data(), token.data() + token.size(), value);
  return value;
}

/// The shortest decimal that, times a module, is the length.
std::string shortest(double length_mm, double module_mm) {
  const double modules = length_mm / module_mm + 0.0;  // never -0
  const int most_decimals = 15;
  for (int decimals = 0; decimals <= most_decimals; ++decimals) {
    std::string token = fmt::format("{:.{}f}", modules, decimals);
    if (parsed(token) * module_mm == length_mm) return token;
  }
  return fmt::format("{}", modules);  // no decimal does: off by the last bit
}

/// Digits behind the point of a plain decimal.
std::size_t decimals_of(std::string_view token) {
  const std::size_t point = token.find('.');
  const bool plain = token.find_first_not_of("+-0123456789.") == std::string_view::npos;
  return point == std::string_view::npos || !plain ? 0 : token.size() - point - 1;
}

}  // namespace

std::string modules_token(double length_mm, double module_mm, std::string_view old_token) {
  std::string token = shortest(length_mm, module_mm);
  const bool exponent = token.find('e') != std::string::npos;
  const std::size_t wanted = decimals_of(old_token), has = decimals_of(token);
  if (wanted > has && !exponent) {
    if (has == 0) token += '.';
    token.append(wanted - has, '0');
  }
  if (!old_token.empty() && old_token.front() == '+' && token.front() != '-') token.insert(0, 1, '+');
  return token;
}

std::string text_token(std::string_view text, std::string_view old_token) {
  const bool plain = std::none_of(
      text.begin(), text.end(), [](char c) { return static_cast<unsigned char>(c) < 0x20 || c == 0x7F || c == '\''; });
  if (!old_token.empty() && old_token.front() == '\'' && plain) return fmt::format("'{}'", text);
  std::string token = "\"";
  for (const char c : text) {
    if (c == '"' || c == '\\') {
      token += '\\';
      token += c;
    } else if (static_cast<unsigned char>(c) < 0x20 || c == 0x7F) {
      token += fmt::format("\\u{:04X}", static_cast<unsigned char>(c));
    } else {
      token += c;
    }
  }
  return token + '"';
}

}  // namespace ridepitch
