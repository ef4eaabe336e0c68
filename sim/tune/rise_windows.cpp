#include "tune/rise_windows.hpp"

#include <algorithm>
#include <cmath>

#include "model/index.hpp"
#include "tune/load_test.hpp"

namespace ridepitch {

std::size_t place_at(int sample, std::size_t wheel, std::size_t wheels) {
  if (sample == as_wanted) return 0;
  if (sample == at_least) return least_of(wheel);
  if (sample == at_greatest) return least_of(wheel) + 1;
  if (sample == bump_sample) return bump_of(wheel, wheels);
  const std::size_t other = static_cast<std::size_t>(sample - of_others) / 2, end = (sample - of_others) % 2;
  return least_of(other < wheel ? other : other + 1) + end;
}

bool needs_travel(const WheelInStance& wheel) { return wheel.bump_mm > 2 * wheel.within_mm; }

std::vector<double> place_in(const std::vector<RiseWindow>& windows, const LaidCorner& corner, std::size_t place) {
  const std::size_t n = windows.size();
  std::vector<double> at_mm;
  for (const RiseWindow& window : windows) at_mm.push_back(window.middle_mm());
  if (place >= 1 + 2 * n)
    at_mm[place - 1 - 2 * n] = corner.at_mm[place][place - 1 - 2 * n];
  else if (place > 0)
    at_mm[(place - 1) / 2] = place % 2 == 1 ? windows[(place - 1) / 2].from_mm : windows[(place - 1) / 2].to_mm;
  return at_mm;
}

namespace {

RiseWindow whole_window(const WheelInStance& wheel) { return {-wheel.within_mm, wheel.within_mm}; }

/// All its rises, in pieces over which loads bend little.
std::vector<RiseWindow> in_pieces(const WheelInStance& wheel) {
  constexpr double longest_mm = 6;
  const int pieces = std::max(1, static_cast<int>(std::ceil(2 * wheel.within_mm / longest_mm)));
  std::vector<RiseWindow> out;
  for (int i = 0; i < pieces; ++i)
    out.push_back({wheel.within_mm * (2.0 * i / pieces - 1), wheel.within_mm * (2.0 * (i + 1) / pieces - 1)});
  return out;
}

/// Rises of a corner's wheels that the skeleton at hand reaches all at once; empty: it reaches none of those that are tried, and
/// where no wheel moves another's bodies there are none then.
std::vector<double> reached_together(const Skeleton& skeleton, unsigned sides, const LaidCorner& corner) {
  std::vector<double> at_mm(corner.wheels.size(), 0);
  if (at_mm.size() == 1) return at_mm;  // to be told of each rise by itself
  const auto choose_from = [&](const auto& self, std::size_t w) -> bool {
    if (w == at_mm.size()) return reaches(skeleton, sides, corner.inputs[0], corner.rises, at_mm);
    for (const double share : {1.0, -1.0, 0.0}) {
      at_mm[w] = share * corner.wheels[w].within_mm;
      if (self(self, w + 1)) return true;
    }
    return false;
  };
  if (!choose_from(choose_from, 0)) return {};
  return at_mm;
}

/// The rises that a wheel reaches, of those that are looked for: all, none, or a part, which is cut ever smaller towards where the
/// skeleton becomes collinear: there loads bend too much for one look. Where the travel from rest to bump is needed, it leads past the
/// greatest rise: who does not reach that, or the bump, is not there at all.
/// @param together  rises that are reached
std::vector<RiseWindow> windows_reached(const Skeleton& skeleton, unsigned sides, const LaidCorner& corner,
                                        std::size_t wheel, const std::vector<double>& together) {
  constexpr int rounds = 14, cuts = 12;
  constexpr double cut =
      0.7;  // what is left of the travel to the dead point: loads that grow as its root bend by a third there
  const WheelInStance& w = corner.wheels[wheel];
  std::vector<double> at_mm = together;
  const std::size_t wheels = corner.wheels.size();
  const auto is_reached = [&](double rise_mm, std::size_t near_place = 0) {
    at_mm[wheel] = rise_mm;
    return reaches(skeleton, sides, corner.inputs[near_place], corner.rises, at_mm);
  };
  const bool high = is_reached(w.within_mm, least_of(wheel) + 1);
  if (needs_travel(w) && !(high && is_reached(w.bump_mm - w.within_mm, bump_of(wheel, wheels)))) return {};
  const bool low = is_reached(-w.within_mm, least_of(wheel));
  if (low && high) return in_pieces(w);
  // What is reached between two ends that are not is looked at without a bound.
  if (!low && !high) {
    const bool some = is_reached(-w.within_mm / 2) || is_reached(0) || is_reached(w.within_mm / 2);
    return some ? std::vector{whole_window(w)} : std::vector<RiseWindow>{};
  }
  double in = low ? -w.within_mm : w.within_mm, out = -in;
  const double end = in;
  for (int round = 0; round < rounds; ++round) {
    const double middle = (out + in) / 2;
    (is_reached(middle) ? in : out) = middle;
  }
  std::vector<RiseWindow> windows;
  for (double from = end; count(windows) < cuts;) {
    const double to = in + cut * (from - in);
    windows.push_back({std::min(from, to), std::max(from, to)});
    from = to;
  }
  windows.push_back(windows.back());
  windows.back().beside = low ? +1 : -1;
  return windows;
}

}  // namespace

std::vector<std::vector<RiseWindow>> cases_reached(const LinkageLayouts& layouts, const Skeleton& skeleton,
                                                   unsigned sides, const LaidCorner& corner) {
  std::vector<std::vector<RiseWindow>> cases = {{}};
  const std::vector<double> together = reached_together(skeleton, sides, corner);
  if (together.empty() && layouts.wheels_apart) return {};
  for (std::size_t w = 0; w < corner.wheels.size(); ++w) {
    const std::vector<RiseWindow> reached = layouts.wheels_apart ? windows_reached(skeleton, sides, corner, w, together)
                                                                 : std::vector{whole_window(corner.wheels[w])};
    std::vector<std::vector<RiseWindow>> more;
    for (const std::vector<RiseWindow>& one_case : cases)
      for (const RiseWindow& window : reached) {
        more.push_back(one_case);
        more.back().push_back(window);
      }
    cases = std::move(more);
  }
  return cases;
}

}  // namespace ridepitch
