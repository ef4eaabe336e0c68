#include "ride/slope.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include "ride/wheel_state.hpp"

namespace ridepitch {
namespace {

constexpr double longest_tilt_rad = 2 * std::numbers::pi / 180;  // in one step: a vehicle stays in its potential well
constexpr int most_grip_rounds = 60;
constexpr int rounds_at_full_length = 12;  // then changes are halved: a wheel may land and lift in turn
constexpr double near_enough = 1e-9;       // where rounding keeps it from being the same
constexpr double still_told = 1e-6;        // after all rounds a change under it does not show in what is told

// What every tyre should hold, and where its contact lies, by the loads of a rest. @returns the greatest change
double share_grip(const Rest& rest, double pace, System& system) {
  const std::vector<PlacedWheel> wheels = placed_wheels(system, rest.state);
  double all = 0;
  for (const PlacedWheel& wheel : wheels) all += ground_load(system, rest, wheel.member, wheel.wheel);
  if (!(all > 0)) return 0;
  const double rolling_cos = std::cos(rest.state.pitch_rad);
  double change = std::abs(rolling_cos - system.slope.rolling_cos);
  for (const PlacedWheel& wheel : wheels) {
    Tread& tread = system.members[wheel.member].treads[wheel.wheel];
    const double share = ground_load(system, rest, wheel.member, wheel.wheel) / all;
    const double arm = height_of(rest.state, wheel.point_mm) - tread.ground_mm;
    change = std::max(
        {change, std::abs(share - tread.grip_share), share * std::abs(arm - tread.grip_arm_mm) / tread.radius_mm});
    tread.grip_share += pace * (share - tread.grip_share);
    tread.grip_arm_mm = arm;
  }
  system.slope.rolling_cos = rolling_cos;
  return change;
}

}  // namespace

void grip_as_loaded(const Rest& rest, System& system) { share_grip(rest, 1, system); }

void set_slope(double slope_rad, Toward toward, System& system) {
  system.slope.sin = std::sin(slope_rad);
  system.slope.cos = std::cos(slope_rad);
  system.slope.down = toward == Toward::left    ? Vec2(0, 1)
                      : toward == Toward::right ? Vec2(0, -1)
                      : toward == Toward::front ? Vec2(1, 0)
                                                : Vec2(-1, 0);
}

namespace {

std::optional<Rest> with_grip(System& system, std::optional<Rest> rest, double settled_grip) {
  if (system.slope.sin == 0) return rest;
  double previous = std::numeric_limits<double>::infinity();
  for (int round = 0; round < most_grip_rounds; ++round) {
    if (!rest) return std::nullopt;
    const double change = share_grip(*rest, round < rounds_at_full_length ? 1 : 0.5, system);
    const bool settled = change < settled_grip || (change < near_enough && change >= previous);
    previous = change;
    const bool snapped = rest->snapped;
    rest = follow_rest(system, *rest);
    if (rest) rest->snapped = rest->snapped || snapped;
    if (settled) return rest;
  }
  return previous < still_told ? rest : std::nullopt;
}

}  // namespace

std::optional<Rest> come_to_rest_gripping(System& system, const State& from) {
  return with_grip(system, come_to_rest(system, from), grip_repeats);
}

std::optional<Rest> follow_rest_gripping(System& system, const Rest& from, double settled_grip) {
  return with_grip(system, follow_rest(system, from), settled_grip);
}

std::optional<Rest> tilt(System& system, const Rest& level, double slope_rad, Toward toward) {
  const int steps = std::max(1, static_cast<int>(std::ceil(slope_rad / longest_tilt_rad)));
  grip_as_loaded(level, system);
  std::optional<Rest> rest = level;
  bool snapped = level.snapped;
  for (int step = 1; step <= steps && rest; ++step) {
    set_slope(slope_rad * step / steps, toward, system);
    rest = follow_rest_gripping(system, *rest);
    if (rest) rest->snapped = snapped = snapped || rest->snapped;
  }
  return rest;
}

}  // namespace ridepitch
