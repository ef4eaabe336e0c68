#pragma once
// What a ruler read at the corners of a vehicle under known extra weights.

#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "fit/csv_text.hpp"
#include "model/model.hpp"

namespace ridepitch {

/// One line of the table: an extra weight, and the heights of some corners under it.
struct HeightRow {
  double extra_kg = 0;
  std::optional<Vec3> at_mm;  ///< where it was put, vehicle axes; none: at the sprung centre of gravity
  std::vector<std::pair<int, double>> height_mm;  ///< corner, ride height
  Place place;
};

struct HeightReadings {
  std::vector<HeightRow> rows;
  std::vector<std::string> ignored;  ///< headings of columns that say nothing to us
};

using ReadHeightReadings = ReadTable<HeightReadings>;

/// Reads a table with a column of extra weights and one of ride heights for each corner that was measured, named like the
/// corner ("rear left_mm"), units in the header. Columns x, y and z (mm or modules) say where the weight was put; without z it
/// is at the height of the sprung centre of gravity.
///
/// @param cg_mm  the sprung centre of gravity, vehicle axes
ReadHeightReadings read_height_readings(const std::string& text, const std::string& path, const Model& model,
                                        const Vec3& cg_mm);

}  // namespace ridepitch
