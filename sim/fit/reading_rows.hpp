#pragma once
// Spring readings as the rows of a least-squares problem: a straight line, with friction or without, or a parabola.

#include <optional>
#include <vector>

#include "fit/least_squares.hpp"
#include "fit/spring_readings.hpp"

namespace ridepitch {

inline constexpr double same_length_mm = 1e-6;  ///< lengths nearer than this are one and the same
inline constexpr double ruler_mm = 0.5;  ///< nearer than this they may be, read twice. Common practice, no source

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

}  // namespace ridepitch
