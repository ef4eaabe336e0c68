#include "cli/floor_words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "cli/page.hpp"
#include "cli/usage.hpp"
#include "model/units.hpp"

namespace ridepitch {
namespace {

constexpr double highest_block_mm = 1000;  // beyond it somebody has mistaken the unit

/// How to write it instead, where a comma was meant as a decimal point.
std::string number_hint(const std::string& word, const std::string& otherwise) {
  std::string pointed = word;
  std::replace(pointed.begin(), pointed.end(), ',', '.');
  return pointed != word && read_number(pointed) ? fmt::format("write {}", pointed) : otherwise;
}

std::optional<Problem> add_block(const std::string& word, Floor& floor) {
  const std::size_t equals = word.rfind('=');
  const std::string wheel = word.substr(0, equals);
  if (equals == std::string::npos || wheel.empty()) {
    return usage(fmt::format("--block is '{}', which names no height", shown(word)),
                 "write the wheel and the height of its block in mm: --block \"rear left/hub=12\"");
  }
  const std::string height = word.substr(equals + 1);
  const std::optional<double> mm = read_number(height);
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
    return usage(fmt::format("--toward is '{}', which is no side of a vehicle", shown(*words.toward)),
                 suggestion(*words.toward, names, "left, right, front or rear: the side that is downhill"));
  }
  const std::optional<double> degrees = read_number(*words.slope);
  if (!degrees) {
    return usage(fmt::format("--slope is '{}', which is not a number", shown(*words.slope)),
                 number_hint(*words.slope, "the angle of the floor in degrees: 10"));
  }
  if (!(*degrees >= 0 && *degrees < 90)) {
    return usage(fmt::format("--slope is {} degrees", shown(*words.slope)),
                 *degrees < 0 ? "0 or more; --toward says which side is downhill" : "less than 90");
  }
  floor.slope_rad = *degrees * rad_per_deg;
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
