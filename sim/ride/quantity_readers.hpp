#pragma once
// How the quantities of a standing vehicle are read off its solution: one row for each that is not of a steering.

#include <optional>
#include <string_view>
#include <vector>

#include "ride/figure.hpp"
#include "ride/solution.hpp"

namespace ridepitch {

struct RideReader {
  std::string_view name;  ///< of the quantity

  /// The value; none where it does not exist.
  std::optional<double> (*value)(const Model& model, const Solution& solution, const Figure& figure) = nullptr;
};

const std::vector<RideReader>& ride_readers();

/// In the quantity's own unit; none where it does not exist, and of what is not read off a solution.
std::optional<double> value_of(const Model& model, const Solution& solution, const Figure& figure);

/// A number of each point of a wheel's curve.
struct CurveReader {
  std::string_view name;
  std::optional<double> (*value)(const CurvePoint& point) = nullptr;
};

/// In the order of the columns of `--csv`.
const std::vector<CurveReader>& curve_readers();

/// What a wheel's path does at the ground, at each of its points.
struct PathReader {
  const char* name = "";
  std::optional<double> PathPoint::*value = nullptr;
};
inline constexpr PathReader path_readers[] = {{"camber_deg", &PathPoint::camber_deg},
                                              {"track_change_mm", &PathPoint::track_change_mm},
                                              {"wheelbase_change_mm", &PathPoint::wheelbase_change_mm},
                                              {"roll_centre_mm", &PathPoint::roll_centre_mm}};

/// "lifted", "topped", "riding", "bottomed" or "fixed".
std::string_view state_name(WheelState state);

}  // namespace ridepitch
