#include "model/toml_guard.hpp"

#include <algorithm>

namespace ridepitch {
namespace {

// A run of dots is what stands between two of = , [ ] { } or line ends. Nothing in a model has more than a handful;
// the dots beyond that, over the whole text, bound the depth of nesting. A few thousand levels are safe on any stack.
constexpr int usual_dots = 8;
constexpr int most_dots_beyond = 500;

constexpr int most_dotted_keys = 20'000;

/// Leaves out a comment where it can't be anything else: text in quotes may hold a '#', and a comment a quote.
std::string_view without_comment(std::string_view line, bool has_long_strings) {
  const std::size_t begin = line.find_first_not_of(" \t");
  if (!has_long_strings && begin != std::string_view::npos && line[begin] == '#') return {};
  if (line.find_first_of("\"'") != std::string_view::npos) return line;
  return line.substr(0, line.find('#'));
}

}  // namespace

std::optional<std::size_t> too_many_dots(std::string_view text) {
  const bool has_long_strings =
      text.find("\"\"\"") != std::string_view::npos || text.find("'''") != std::string_view::npos;
  int beyond = 0, dotted_keys = 0;
  std::size_t line_begin = 0;
  while (line_begin < text.size()) {
    const std::size_t line_end = std::min(text.find('\n', line_begin), text.size());
    const std::string_view line = without_comment(text.substr(line_begin, line_end - line_begin), has_long_strings);
    int run = 0;
    for (std::size_t i = 0; i < line.size(); ++i) {
      const char c = line[i];
      if (c == '.' && ++run > usual_dots && ++beyond > most_dots_beyond) return line_begin + i;
      if (c == '=' && run > 0 && ++dotted_keys > most_dotted_keys) return line_begin + i;
      if (std::string_view("=,[]{}").find(c) != std::string_view::npos) run = 0;
    }
    line_begin = line_end + 1;
  }
  return std::nullopt;
}

}  // namespace ridepitch
