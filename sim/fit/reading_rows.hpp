#pragma once
// Spring readings as rows of a least-squares problem, and which of them belong to no straight line.

#include <optional>
#include <vector>

#include "fit/least_squares.hpp"
#include "fit/spring_readings.hpp"

namespace ridepitch {

inline constexpr double same_length_mm = 1e-6;  ///< lengths nearer than this are one and the same
inline constexpr double ruler_mm = 0.5;  ///< nearer than this they may be, read twice. Common practice, no source

inline constexpr double trend_chance = 0.05;  ///< a rate that chance makes more often is none. Common practice

/// Which columns a row has.
struct RowShape {
  bool constant = true, friction = false, bent = false;

  int columns() const { return 1 + (constant ? 1 : 0) + (friction ? 1 : 0) + (bent ? 1 : 0); }
};

/// 1 for a reading taken towards more force, -1 towards less, 0 where it is not known.
double sign_of(Pass pass);

/// Readings of one spring, some of them used, and how a line or a parabola through them is set up.
///
///     force = c0 + c1 d + c2 pass + c3 d^2,   d = shortening from the middle length (a band: lengthening)
struct ReadingRows {
  const std::vector<SpringReading>& readings;
  double towards_more = -1;  ///< d = towards_more (length - middle): -1 for a coil, 1 for a band
  double middle_mm = 0;

  const SpringReading& at(int i) const { return readings[static_cast<std::size_t>(i)]; }
  bool both_ways(const std::vector<int>& used) const;  ///< readings of both passes are among them
  int distinct_lengths(const std::vector<int>& used) const;

  Eigen::VectorXd row(const SpringReading& reading, const RowShape& shape) const;
  Eigen::MatrixXd rows(const std::vector<int>& used, const RowShape& shape) const;  ///< [used x columns]
  Eigen::VectorXd forces(const std::vector<int>& used) const;                       ///< [used] N
  std::optional<LeastSquares> fit(const std::vector<int>& used, const RowShape& shape) const;
};

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
