#pragma once
// What a builder read while pressing a spring on a kitchen scale, or hanging weights on a band.

#include <optional>
#include <string>
#include <vector>

#include "fit/csv_text.hpp"

namespace ridepitch {

inline constexpr double most_spring_mm = 1000;  ///< no spring of a model is longer

/// In which direction the spring was last moved before a reading: with or against its friction.
enum class Pass { more, less, unknown };  // towards more force, towards less

struct SpringReading {
  double length_mm = 0;  ///< between hole centres
  double force_n = 0;    ///< >= 0; 0: it was not loaded at all
  Pass pass = Pass::unknown;
  Place place;  ///< of its line
};

struct SpringReadings {
  std::vector<SpringReading> readings;  ///< in the order of the file
  std::vector<std::string> ignored;     ///< headings of columns that say nothing to us
};

using ReadSpringReadings = ReadTable<SpringReadings>;

/// Reads a table with a column of lengths and one of weights, their units in the header, and optionally one that says
/// in which direction each reading was taken (`pass`: pressing, releasing). A column named compression, deflection or extension
/// is taken from the free length.
///
/// @param path     names it in messages
/// @param free_mm  the free length, where it is known
ReadSpringReadings read_spring_readings(const std::string& text, const std::string& path,
                                        std::optional<double> free_mm);

}  // namespace ridepitch
