#include "cli/slices_text.hpp"

#include <algorithm>
#include <utility>

#include <fmt/format.h>

#include "model/index.hpp"
#include "steer/steering.hpp"
#include "words/words.hpp"

namespace ridepitch {
namespace {

/// "0", "-2 to -1"
std::string slice_words(int first, int last) {
  return first == last ? std::to_string(first) : fmt::format("{} to {}", first, last);
}

/// Parts by their slices, those in the same ones together; tyres where their middles are.
std::string across_words(const LinkageStack& stack) {
  std::vector<std::pair<double, std::string>> places;  // by their middles
  std::vector<StackedPart> parts = stack.parts;
  std::stable_sort(parts.begin(), parts.end(), [](const StackedPart& a, const StackedPart& b) {
    return std::pair(a.first, a.last) < std::pair(b.first, b.last);
  });
  for (std::size_t i = 0; i < parts.size();) {
    std::vector<std::string> names;
    const StackedPart& part = parts[i];
    for (; i < parts.size() && parts[i].first == part.first && parts[i].last == part.last; ++i)
      names.push_back(shown(parts[i].name));
    places.emplace_back(0.5 * (part.first + part.last),
                        fmt::format("{}: {}", slice_words(part.first, part.last), joined(names, ", ")));
  }
  for (const StackedTyre& tyre : stack.tyres)
    places.emplace_back(
        0.5 * (tyre.across.from + tyre.across.to),
        fmt::format("{:.1f} to {:.1f}: tyre of {}", tyre.across.from, tyre.across.to, shown(tyre.name)));
  std::stable_sort(places.begin(), places.end(), [](const auto& a, const auto& b) { return a.first < b.first; });
  std::vector<std::string> words;
  for (auto& [middle, text] : places) words.push_back(std::move(text));
  return joined(words, " | ");
}

std::string width_words(const LinkageStack& stack) {
  if (!stack.complete) return stack.sure ? "no place for all, " : "not found for all, ";
  return fmt::format("{} wide{}, ", stack.width, stack.sure ? "" : " (there may be a narrower one)");
}

/// What is needed at a joint, as one would count it out: "pin-3-smooth (0.5 over)".
std::string pin_words(const NeededPin& pin) {
  if (pin.part.empty()) return fmt::format("{:g} modules, longer than any", pin.needed);
  const double over = *pin.length - pin.needed;
  return over > 1e-9 ? fmt::format("{} ({:.2g} over)", shown(pin.part), over) : shown(pin.part);
}

std::string pins_words(const LinkageStack& stack) {
  std::vector<std::pair<std::string, std::vector<std::string>>> kinds;
  for (const NeededPin& pin : stack.pins) {
    const std::string words = pin_words(pin);
    auto kind = std::find_if(kinds.begin(), kinds.end(), [&](const auto& each) { return each.first == words; });
    if (kind == kinds.end()) kind = kinds.insert(kinds.end(), {words, {}});
    kind->second.push_back(shown(pin.joint));
  }
  std::vector<std::string> words;
  for (const auto& [kind, joints] : kinds) words.push_back(fmt::format("{} at {}", kind, joined(joints, ", ")));
  return joined(words, "; ");
}

}  // namespace

std::string slices_text(const Solved& solved, const TextStyle& style) {
  std::vector<Term> lines;
  for (const LinkageStack& stack : solved.stacks.linkages) {
    if (stack.parts.empty() && stack.complete) continue;
    lines.push_back({shown(stack.name), width_words(stack) + across_words(stack)});
    if (!stack.pins.empty()) lines.push_back({"", pins_words(stack)});
  }
  if (lines.empty()) return "";
  if (is_steered(solved.model))
    lines.push_back(
        {"", "each linkage by itself: try tie rods and steered tyres against the suspension at droop, bump and lock"});
  std::string text = style.ink.heading("Slices across the plane") + "\n" + terms_text(lines, Ink{});
  if (!style.terse) text += terms_text({{"slices", std::string(meaning_of("slices"))}}, style.ink);
  return text;
}

}  // namespace ridepitch
