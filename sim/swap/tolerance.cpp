#include "swap/tolerance.hpp"

#include <algorithm>
#include <cmath>
#include <iterator>

namespace ridepitch {
namespace {

/// How far a quantity may be off.
struct Rule {
  std::string_view quantity;
  double Keep::*keep;
  enum Kind { off, share_off, least_share } kind;
};

constexpr Rule rules[] = {
    {"ride_height_mm", &Keep::ride_mm, Rule::off},
    {"pitch_deg", &Keep::pitch_deg, Rule::off},
    {"roll_deg", &Keep::roll_deg, Rule::off},
    {"bump_travel_mm", &Keep::bump_share, Rule::least_share},
    {"reserve", &Keep::reserve_share, Rule::least_share},
    {"wheel_rate_n_per_mm", &Keep::rate_share, Rule::share_off},
    {"frequency_hz", &Keep::frequency_share, Rule::share_off},
    {"bounce_frequency_hz", &Keep::frequency_share, Rule::share_off},
    {"pitch_frequency_hz", &Keep::frequency_share, Rule::share_off},
    {"roll_frequency_hz", &Keep::frequency_share, Rule::share_off},
};

}  // namespace

std::optional<Allowed> allowed(std::string_view quantity, double before, const Keep& keep) {
  const auto* rule =
      std::find_if(std::begin(rules), std::end(rules), [&](const Rule& each) { return each.quantity == quantity; });
  if (rule == std::end(rules)) return std::nullopt;
  const double value = keep.*rule->keep;
  Allowed result;
  result.tolerance = rule->kind == Rule::off         ? value
                     : rule->kind == Rule::share_off ? value * std::abs(before)
                                                     : (1 - value) * std::abs(before);
  result.least = before - result.tolerance;
  if (rule->kind != Rule::least_share) result.most = before + result.tolerance;
  return result;
}

}  // namespace ridepitch
