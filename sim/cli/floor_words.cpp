#include "cli/floor_words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <numbers>

#include "cli/page.hpp"
#include "model/nearest_name.hpp"

namespace ridepitch {
namespace {

constexpr double highest_block_mm = 1000;  // beyond it somebody has mistaken the unit

Problem usage(std::string text, std::string hint) {
  Problem problem;
  problem.code = "usage";
  problem.text = std::move(text);
  problem.hint = std::move(hint);
  return problem;
}

std::optional<double> number_of(const std::string& word) {
  double value = 0;
  const char* end = word.data() + word.size();
  const char* begin = word.data() + (word.starts_with('+') ? 1 : 0);
  const auto [rest, error] = std::from_chars(begin, end, value);
  if (begin == end || error != std::errc() || rest != end || !std::isfinite(value)) return std::nullopt;
  return value;
}

/// How to write it instead, where a comma was meant as a decimal point.
std::string number_hint(const std::string& word, const std::string& otherwise) {
  std::string pointed = word;
  std::replace(pointed.begin(), pointed.end(), ',', '.');
  return pointed != word && number_of(pointed) ? fmt::format("write {}", pointed) : otherwise;
}

std::optional<Problem> add_block(const std::string& word, Floor& floor) {
  const std::size_t equals = word.rfind('=');
  const std::string wheel = word.substr(0, equals);
  if (equals == std::string::npos || wheel.empty()) {
    return usage(fmt::format("--block is '{}', which names no height", shown(word)),
                 "write the wheel and the height of its block in mm: --block \"rear left/hub=12\"");
  }
  const std::string height = word.substr(equals + 1);
  const std::optional<double> mm = number_of(height);
  if (!mm) {
    return usage(fmt::format("the block under '{}' is '{}' high, which is not a number", shown(wheel), shown(height)),
                 number_hint(height, "its height in mm, negative for a dip: 12 or -8.5"));
  }
  if (std::abs(*mm) > highest_block_mm) {
    return usage(fmt::format("the block under '{}' is {} mm high", shown(wheel), shown(height)),
                 fmt::format("heights are in mm, {:.0f} at most", highest_block_mm));
  }
  const bool again =
      std::any_of(floor.blocks.begin(), floor.blocks.end(), [&](const Block& block) { return block.wheel == wheel; });
  if (again) return usage(fmt::format("two blocks stand under '{}'", shown(wheel)), "name each wheel once");
  floor.blocks.push_back({wheel, *mm});
  return std::nullopt;
}

std::optional<Problem> set_slope(const FloorWords& words, Floor& floor) {
  constexpr Toward sides[] = {Toward::left, Toward::right, Toward::front, Toward::rear};
  const char* const example = "for instance --slope 10 --toward left: the left side is downhill";
  if (!words.toward) return usage("--slope does not say which side is downhill", example);
  if (!words.slope) return usage("--toward does not say how steep the floor is", example);
  const auto side = std::find_if(std::begin(sides), std::end(sides),
                                 [&](Toward toward) { return *words.toward == toward_name(toward); });
  if (side == std::end(sides)) {
    std::vector<std::string> names;
    for (const Toward toward : sides) names.push_back(toward_name(toward));
    const std::string nearest = nearest_name(*words.toward, names);
    return usage(fmt::format("--toward is '{}', which is no side of a vehicle", shown(*words.toward)),
                 nearest.empty() ? "left, right, front or rear: the side that is downhill"
                                 : fmt::format("did you mean '{}'?", nearest));
  }
  const std::optional<double> degrees = number_of(*words.slope);
  if (!degrees) {
    return usage(fmt::format("--slope is '{}', which is not a number", shown(*words.slope)),
                 number_hint(*words.slope, "the angle of the floor in degrees: 10"));
  }
  if (!(*degrees >= 0 && *degrees < 90)) {
    return usage(fmt::format("--slope is {} degrees", shown(*words.slope)),
                 *degrees < 0 ? "0 or more; --toward says which side is downhill" : "less than 90");
  }
  floor.slope_rad = *degrees * std::numbers::pi / 180;
  floor.toward = *side;
  return std::nullopt;
}

bool continues_a_block(const std::string& word) {
  return !word.starts_with('-') && !word.ends_with(".toml") && word.find('/') < word.rfind('=') &&
         word.rfind('=') != std::string::npos;
}

}  // namespace

FloorOrProblem read_floor(const FloorWords& words) {
  FloorOrProblem out;
  const bool sloping = words.slope || words.toward;
  if (!words.asked && words.blocks.empty() && !sloping) return out;
  Floor floor;
  for (const std::string& word : words.blocks) {
    if (!out.problem) out.problem = add_block(word, floor);
  }
  if (sloping && !out.problem) out.problem = set_slope(words, floor);
  if (!out.problem) out.floor = floor;
  return out;
}

std::vector<std::string> with_every_block_named(const std::vector<std::string>& words) {
  std::vector<std::string> out;
  bool after_a_block = false, value_follows = false;
  for (const std::string& word : words) {
    if (after_a_block && !value_follows && continues_a_block(word)) {
      out.push_back("--block");
    } else if (!value_follows) {
      after_a_block = word == "--block" || word.starts_with("--block=");
    }
    value_follows = word == "--block";
    out.push_back(word);
  }
  return out;
}

}  // namespace ridepitch
