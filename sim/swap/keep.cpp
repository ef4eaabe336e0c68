#include "swap/keep.hpp"

#include <charconv>
#include <cmath>

#include <fmt/format.h>

#include "model/index.hpp"
#include "model/nearest_name.hpp"
#include "model/reading.hpp"

namespace ridepitch {
namespace {

std::optional<double> amount(std::string_view word) {
  if (!word.empty() && word.back() == '%') word.remove_suffix(1);
  double value = 0;
  const auto [end, error] = std::from_chars(word.data(), word.data() + word.size(), value);
  const bool whole_word = error == std::errc() && end == word.data() + word.size();
  return whole_word && std::isfinite(value) && value >= 0 ? std::optional(value) : std::nullopt;
}

}  // namespace

const std::vector<KeepWord>& keep_table() {
  const double percent = 0.01;
  static const std::vector<KeepWord> words = {
      {"ride", "ride_height_mm", &Keep::ride_mm, 1},
      {"pitch", "pitch_deg", &Keep::pitch_deg, 1},
      {"roll", "roll_deg", &Keep::roll_deg, 1},
      {"rate", "wheel_rate_share", &Keep::rate_share, percent},
      {"frequency", "frequency_share", &Keep::frequency_share, percent},
      {"bump", "bump_travel_least_share", &Keep::bump_share, percent},
      {"reserve", "reserve_least_share", &Keep::reserve_share, percent},
      {"toe", "toe_deg", &Keep::toe_deg, 1},
      {"lock", "lock_less_deg", &Keep::lock_deg, 1},
      {"ideal", "worst_error_deg", &Keep::ideal_deg, 1},
      {"bump-steer", "bump_steer_deg_per_10mm", &Keep::bump_steer_deg_per_10mm, 1},
      {"turned", "turned_deg", &Keep::turned_deg, 1},
  };
  return words;
}

std::optional<Allowed> allowed(const Quantity& quantity, double before, const Keep& keep) {
  const KeepWord* word = named(keep_table(), quantity.keep);
  if (!word) return std::nullopt;
  const double value = keep.*word->value, size = std::abs(before);
  Allowed result;
  const bool a_share = quantity.rule == Rule::share_off, a_least_share = quantity.rule == Rule::least_share;
  result.tolerance = a_share ? value * size : a_least_share ? (1 - value) * size : value;
  if (quantity.rule == Rule::not_farther) {
    result.least = -size - value;
    result.most = size + value;
    return result;
  }
  result.least = before - result.tolerance;
  if (quantity.rule != Rule::least_share && quantity.rule != Rule::not_less) result.most = before + result.tolerance;
  return result;
}

ReadKeep read_keep(std::string_view words) {
  ReadKeep result;
  bool frequency_named = false;
  std::vector<std::string> names;
  for (const KeepWord& word : keep_table()) names.push_back(word.name);
  while (!words.empty()) {
    const std::string_view word = words.substr(0, words.find(','));
    words.remove_prefix(std::min(word.size() + 1, words.size()));
    const std::string_view name = word.substr(0, word.find('='));
    const KeepWord* found = named(keep_table(), name);
    if (!found) {
      const std::string nearest = nearest_name(name, names);
      result.problem = {
          .code = "unknown-name",
          .text = fmt::format("--keep has no {}", in_quotes(name)),
          .hint = nearest.empty() ? "it knows " + list_in_quotes(names) : fmt::format("did you mean '{}'?", nearest)};
      return result;
    }
    const auto value = name.size() < word.size() ? amount(word.substr(name.size() + 1)) : std::nullopt;
    if (!value) {
      result.problem = {.code = "usage",
                        .text = fmt::format("--keep has {}, which is not {} and a number that is not negative",
                                            in_quotes(word), name),
                        .hint = fmt::format("--keep {}=1", name)};
      return result;
    }
    result.keep.*found->value = *value * found->unit;
    frequency_named = frequency_named || name == "frequency";
    if (name == "rate" && !frequency_named) result.keep.frequency_share = result.keep.rate_share;
  }
  return result;
}

std::string keep_words(const Keep& keep, bool steers) {
  const auto percent = [](double share) { return 100 * share; };
  std::string text = fmt::format(
      "ride height within {:g} mm, pitch within {:g} and roll within {:g} degrees, wheel rate within {:g} %, "
      "frequencies within {:g} %, bump travel at least {:g} % and reserve at least {:g} % of before",
      keep.ride_mm, keep.pitch_deg, keep.roll_deg, percent(keep.rate_share), percent(keep.frequency_share),
      percent(keep.bump_share), percent(keep.reserve_share));
  if (steers)
    text += fmt::format(
        "; toe within {:g} deg, lock at most {:g} deg less, worst error at most {:g} deg greater, bump steer within "
        "{:g} deg "
        "per 10 mm at rest and {:g} deg at droop and bump",
        keep.toe_deg, keep.lock_deg, keep.ideal_deg, keep.bump_steer_deg_per_10mm, keep.turned_deg);
  return text;
}

}  // namespace ridepitch
