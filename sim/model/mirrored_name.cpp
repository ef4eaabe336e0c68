#include "model/mirrored_name.hpp"

#include <algorithm>
#include <array>
#include <cctype>
#include <utility>

namespace ridepitch {
namespace {

using Exchange = std::pair<std::string_view, std::string_view>;
constexpr std::array<Exchange, 6> exchanges = {
    {{"left", "right"}, {"right", "left"}, {"Left", "Right"}, {"Right", "Left"}, {"LEFT", "RIGHT"}, {"RIGHT", "LEFT"}}};

bool is_letter(char c) { return std::isalpha(static_cast<unsigned char>(c)) != 0; }

}  // namespace

std::string mirrored_name(std::string_view name) {
  std::string result;
  bool exchanged = false;
  for (std::size_t i = 0; i < name.size();) {
    std::size_t end = i;
    while (end < name.size() && is_letter(name[end])) ++end;
    const std::string_view word = name.substr(i, std::max<std::size_t>(end - i, 1));
    const auto found =
        std::find_if(exchanges.begin(), exchanges.end(), [&](const Exchange& each) { return each.first == word; });
    exchanged = exchanged || found != exchanges.end();
    result += found == exchanges.end() ? word : found->second;
    i += word.size();
  }
  return exchanged ? result : "";
}

}  // namespace ridepitch
