#include "swap/keep.hpp"

#include <charconv>
#include <cmath>
#include <vector>

#include <fmt/format.h>

#include "model/nearest_name.hpp"
#include "model/reading.hpp"

namespace ridepitch {
namespace {

struct Word {
  std::string name;
  double Keep::*value;
  double unit;  ///< what 1 stands for
};

const std::vector<Word>& known_words() {
  const double percent = 0.01;
  static const std::vector<Word> words = {
      {"ride", &Keep::ride_mm, 1},
      {"pitch", &Keep::pitch_deg, 1},
      {"roll", &Keep::roll_deg, 1},
      {"rate", &Keep::rate_share, percent},
      {"frequency", &Keep::frequency_share, percent},
      {"bump", &Keep::bump_share, percent},
      {"reserve", &Keep::reserve_share, percent},
  };
  return words;
}

Problem problem(std::string code, std::string text, std::string hint) {
  Problem problem;
  problem.code = std::move(code);
  problem.text = std::move(text);
  problem.hint = std::move(hint);
  return problem;
}

std::optional<double> amount(std::string_view word) {
  if (!word.empty() && word.back() == '%') word.remove_suffix(1);
  double value = 0;
  const auto [end, error] = std::from_chars(word.data(), word.data() + word.size(), value);
  const bool whole_word = error == std::errc() && end == word.data() + word.size();
  return whole_word && std::isfinite(value) && value >= 0 ? std::optional(value) : std::nullopt;
}

}  // namespace

ReadKeep read_keep(std::string_view words) {
  ReadKeep result;
  bool frequency_named = false;
  std::vector<std::string> names;
  for (const Word& word : known_words()) names.push_back(word.name);
  while (!words.empty()) {
    const std::string_view word = words.substr(0, words.find(','));
    words.remove_prefix(std::min(word.size() + 1, words.size()));
    const std::string_view name = word.substr(0, word.find('='));
    const Word* found = nullptr;
    for (const Word& each : known_words()) {
      if (each.name == name) found = &each;
    }
    if (!found) {
      const std::string nearest = nearest_name(name, names);
      result.problem =
          problem("unknown-name", fmt::format("--keep has no {}", in_quotes(name)),
                  nearest.empty() ? "it knows " + list_in_quotes(names) : fmt::format("did you mean '{}'?", nearest));
      return result;
    }
    const auto value = name.size() < word.size() ? amount(word.substr(name.size() + 1)) : std::nullopt;
    if (!value) {
      result.problem = problem(
          "usage",
          fmt::format("--keep has {}, which is not {} and a number that is not negative", in_quotes(word), name),
          fmt::format("--keep {}=1", name));
      return result;
    }
    result.keep.*found->value = *value * found->unit;
    frequency_named = frequency_named || name == "frequency";
    if (name == "rate" && !frequency_named) result.keep.frequency_share = result.keep.rate_share;
  }
  return result;
}

std::string keep_words(const Keep& keep) {
  const auto percent = [](double share) { return 100 * share; };
  return fmt::format(
      "ride height within {:g} mm, pitch within {:g} and roll within {:g} degrees, wheel rate within {:g} %, "
      "frequencies "
      "within {:g} %, bump travel at least {:g} % and reserve at least {:g} % of before",
      keep.ride_mm, keep.pitch_deg, keep.roll_deg, percent(keep.rate_share), percent(keep.frequency_share),
      percent(keep.bump_share), percent(keep.reserve_share));
}

}  // namespace ridepitch
