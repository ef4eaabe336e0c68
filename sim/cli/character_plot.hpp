#pragma once
// A plot of points and a line in characters, for a terminal or a file.

#include <string>
#include <vector>

#include "cli/page.hpp"
#include "model/geometry.hpp"

namespace ridepitch {

/// Points that share a mark; where two marks fall on one spot, that of the later series is seen.
struct PlotSeries {
  char mark = 'o';
  std::string meaning;  ///< for the legend; empty: not in it
  std::vector<Vec2> points;
  bool at_the_edge = false;  ///< does not widen the axes: what lies beyond them is drawn at their edge
};

struct Plot {
  std::string title;  ///< stands over it
  std::string x_name, y_name;
  std::vector<PlotSeries> series;
  std::vector<Vec2> line;    ///< drawn with dots under everything else, point to point, x rising
  std::string line_meaning;  ///< for the legend
};

/// The plot with both axes marked at round numbers, and a legend. Empty where there is nothing to plot.
std::string plot_text(const Plot& plot, const Ink& ink);

/// A step of 1, 2 or 5 times a power of ten that divides a range into at most so many parts.
double round_step(double range, int most_parts);

}  // namespace ridepitch
