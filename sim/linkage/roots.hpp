#pragma once
// Zeros and least values of a function of one variable, between two places.

#include <algorithm>
#include <cmath>
#include <optional>

namespace ridepitch {

/// Two places between which a function changes sign, in either order, and its values there.
struct Bracket {
  double low = 0, high = 0;
  double at_low = 0, at_high = 0;
};

/// When a search may stop: the bracket is this narrow, or the function's value this small.
struct CloseEnough {
  double width = 0;
  double value = 0;
};

/// Where a continuous function is 0, by false position with the Illinois rule.
///
///     x = low + (high - low) at_low / (at_low - at_high)      where the line through both ends is 0
///
/// x replaces the end whose sign it has. Where the same end is kept twice running its value counts half: plain false
/// position would keep it for ever if the function is curved. A bracket that three steps have not halved is bisected.
/// A smooth function takes 5 to 12 evaluations; none takes more than four times as many as bisection.
/// Source: M. Dowell and P. Jarratt, BIT 11 (1971) 168.
/// @param f  double(double); NaN, where it has no value, ends the search
/// @returns the last place evaluated, or an end that is close enough already; none after a NaN
template <class Function>
std::optional<double> find_zero(Function&& f, Bracket ends, const CloseEnough& enough) {
  constexpr int most_evaluations = 300;
  double x = std::abs(ends.at_low) <= std::abs(ends.at_high) ? ends.low : ends.high;
  if (std::min(std::abs(ends.at_low), std::abs(ends.at_high)) <= enough.value) return x;
  bool low_kept = false, high_kept = false;
  double narrow = 0.5 * std::abs(ends.high - ends.low);  // what three steps must come to, or the fourth bisects
  for (int k = 1; k <= most_evaluations; ++k) {
    const double width = ends.high - ends.low, middle = ends.low + 0.5 * width;
    if (std::abs(width) <= enough.width || middle == ends.low || middle == ends.high) break;
    double next = ends.low + width * (ends.at_low / (ends.at_low - ends.at_high));
    if (k % 4 == 0) {
      if (std::abs(width) > narrow) next = middle;
      narrow = 0.5 * std::min(narrow, std::abs(width));
    }
    if (next == ends.low || next == ends.high) next = middle;
    const double value = f(next);
    if (std::isnan(value)) return std::nullopt;
    x = next;
    if (std::abs(value) <= enough.value) break;
    if ((value > 0) == (ends.at_low > 0)) {
      ends.low = x;
      ends.at_low = value;
      if (high_kept) ends.at_high *= 0.5;
    } else {
      ends.high = x;
      ends.at_high = value;
      if (low_kept) ends.at_low *= 0.5;
    }
    high_kept = ends.low == x;
    low_kept = !high_kept;
  }
  return x;
}

/// Where a function that falls and then rises is least, by golden section.
/// Source: J. Kiefer, Proc. Amer. Math. Soc. 4 (1953) 502.
/// @param width  how narrow the interval must be at the end; its middle is returned
template <class Function>
double find_least(Function&& f, double low, double high, double width) {
  constexpr double golden = 0.6180339887498949;  // (sqrt 5 - 1) / 2
  constexpr int most_sections = 80;              // narrows to 1e-17
  double x = high - golden * (high - low), y = low + golden * (high - low);
  double at_x = f(x), at_y = f(y);
  for (int k = 0; k < most_sections && high - low > width; ++k) {
    if (at_x < at_y) {
      high = y;
      y = x;
      at_y = at_x;
      at_x = f(x = high - golden * (high - low));
    } else {
      low = x;
      x = y;
      at_x = at_y;
      at_y = f(y = low + golden * (high - low));
    }
  }
  return 0.5 * (low + high);
}

}  // namespace ridepitch
