#pragma once
// Travel curves as a table for a spreadsheet.

#include <string>

#include "ride/solution.hpp"

namespace ridepitch {

/// All curves of a solution as comma-separated values (RFC 4180, but with plain newlines), a line for each point.
///
/// Columns: corner, wheel, travel_mm, load_n, motion_ratio, wheel_rate_n_per_mm; then for every spring's name
/// NAME_length_mm and NAME_force_n (push of one spring, negative: pull), or NAME_angle_deg and NAME_torque_n_mm
/// of a torsion spring. A cell is empty where a value does not exist. Numbers read back to the same double.
std::string curves_csv(const Solution& solution);

}  // namespace ridepitch
