#pragma once
// What of a spring's readings a straight line should not be drawn through: a coil gone solid, strays, a curve.

#include <vector>

#include "fit/reading_rows.hpp"

namespace ridepitch {

/// Slope of force over length: the median of the slopes between all pairs of readings, so that a few strays do not turn
/// its sign. 0 where all readings are at one length. Source: H. Theil (1950) and P. K. Sen (1968), from memory.
double median_slope(const ReadingRows& readings, const std::vector<int>& used);

/// The greatest of their forces less the least.
double force_range_n(const ReadingRows& readings, const std::vector<int>& used);

enum class CoilEnd { solid, free };

/// The readings that a coil's own stop takes part in: at the shortest length with far more force than the line through the
/// others foretells (its coils touch), or at the longest with far less (its guide still holds it). A step to them is many
/// times as steep as the spring.
std::vector<int> find_stopped(const ReadingRows& readings, const std::vector<int>& used, CoilEnd end);

/// Readings that do not belong to the others: far from what holds for most of them, and, once they are left out, farther
/// from the rest than chance would put one of so many readings.
std::vector<int> find_strays(const ReadingRows& readings, const std::vector<int>& used);

struct Bend {
  bool there = false;
  double miss_n = 0;  ///< greatest distance of line and parabola at a reading
};

/// Whether a parabola fits better than a line by more than chance, and by enough to matter.
Bend find_bend(const ReadingRows& readings, const std::vector<int>& used, const RowShape& line);

}  // namespace ridepitch
