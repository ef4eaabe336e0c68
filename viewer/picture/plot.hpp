#pragma once
// A curve's diagram as plain data: series, ranges, ticks.

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "model/geometry.hpp"
#include "state/solved.hpp"

namespace ridepitch::view {

struct Series {
  std::vector<Vec2> points;  ///< gaps are NaN
  std::string name;          ///< "main"; empty: the only one
  bool before = false;       ///< as it was: drawn thin
  int style = 0;             ///< which of several it is: its colour and dash
};

struct Range {
  double low = 0, high = 1;
};

struct Plot {
  std::string_view words;  ///< "wheel rate": a word of the glossary
  std::string_view unit, x_words, x_unit;
  std::vector<Series> series;
  Range x, y;
  std::vector<double> x_ticks, y_ticks;
  std::optional<double> rest_x;  ///< where the dot at rest is; on every series of now
};

/// Round numbers within a range, 1, 2 or 5 times a power of ten apart, at most `most` of them.
std::vector<double> ticks(Range range, int most);

/// A range that takes in some values with air around; never of no width. Of y, values beside a dead point are left out.
Range range_of(const std::vector<Series>& series, bool of_y);

/// The value of a series at an x by the two points beside it; none outside.
std::optional<double> value_at(const Series& series, double x);

/// Load, motion ratio, wheel rate and spring forces of a corner's wheel over its travel; none where it has no curve.
/// x is its travel from full droop. The range goes a little past both ends; the drawing hatches what is out of reach.
/// @param before  may be null; matched by the corner's name
std::vector<Plot> travel_plots(const Solved& now, const Solved* before, int corner, int wheel);

/// Steer angles of the wheels, their Ackermann errors and the turn radius over the drive of a corner seen from above; none
/// where it has no drive. x is the drive, mm of a rack or degrees of a crank. Where the wheels are sprung, the last diagram
/// is bump steer over their travel, the drive held at 0.
std::vector<Plot> steering_plots(const Solved& now, const Solved* before, int corner);

/// From the least to the greatest x that its curves of now have.
Range x_reach(const Plot& plot);

}  // namespace ridepitch::view
