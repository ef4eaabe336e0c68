#include "cli/curves_csv.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <numbers>
#include <utility>
#include <vector>

#include "cli/csv_cells.hpp"

namespace ridepitch {
namespace {

/// The two columns of a spring: of one name and kind, whichever corners have it.
struct SpringColumns {
  std::string name;
  bool torsion = false;

  friend bool operator==(const SpringColumns&, const SpringColumns&) = default;
};

SpringColumns columns_of(const SpringResult& spring) { return {spring.name, spring.angle_deg.has_value()}; }

const std::vector<SpringResult>& springs_of(const Solution& solution, const Curve& curve) {
  return solution.corners[static_cast<std::size_t>(curve.corner)].springs;
}

std::vector<SpringColumns> spring_columns(const Solution& solution) {
  std::vector<SpringColumns> all;
  for (const Curve& curve : solution.curves) {
    for (const SpringResult& spring : springs_of(solution, curve)) {
      if (std::find(all.begin(), all.end(), columns_of(spring)) == all.end()) all.push_back(columns_of(spring));
    }
  }
  return all;
}

/// What a wheel's way does at the ground: a column each, where any wheel has it.
struct PathColumn {
  const char* name = "";
  std::optional<double> PathPoint::*value = nullptr;
};

std::vector<PathColumn> path_columns(const Solution& solution) {
  std::vector<PathColumn> all = {{"camber_deg", &PathPoint::camber_deg},
                                 {"track_change_mm", &PathPoint::track_change_mm},
                                 {"wheelbase_change_mm", &PathPoint::wheelbase_change_mm},
                                 {"roll_centre_mm", &PathPoint::roll_centre_mm}};
  std::erase_if(all, [&](const PathColumn& column) {
    return std::none_of(solution.curves.begin(), solution.curves.end(), [&](const Curve& curve) {
      return std::any_of(curve.points.begin(), curve.points.end(),
                         [&](const CurvePoint& point) { return (point.path.*column.value).has_value(); });
    });
  });
  return all;
}

std::string header(const std::vector<SpringColumns>& springs, const std::vector<PathColumn>& paths) {
  std::string line = "corner,wheel,travel_mm,load_n,motion_ratio,wheel_rate_n_per_mm";
  for (const SpringColumns& spring : springs) {
    line += "," + csv_text(spring.name + (spring.torsion ? "_angle_deg" : "_length_mm"));
    line += "," + csv_text(spring.name + (spring.torsion ? "_torque_n_mm" : "_force_n"));
  }
  for (const PathColumn& column : paths) line += std::string(",") + column.name;
  return line + "\n";
}

}  // namespace

std::string curves_csv(const Solution& solution) {
  const std::vector<SpringColumns> columns = spring_columns(solution);
  const std::vector<PathColumn> paths = path_columns(solution);
  std::string text = header(columns, paths);
  for (const Curve& curve : solution.curves) {
    const CornerResult& corner = solution.corners[static_cast<std::size_t>(curve.corner)];
    const std::string wheel =
        csv_text(corner.name) + "," + csv_text(corner.wheels[static_cast<std::size_t>(curve.wheel)].name);
    for (const CurvePoint& point : curve.points) {
      text += fmt::format("{},{},{},{},{}", wheel, csv_number(point.travel_mm), csv_number(point.load_n),
                          csv_number(point.motion_ratio), csv_number(point.wheel_rate_n_per_mm));
      for (const SpringColumns& column : columns) {
        const auto same = std::find_if(corner.springs.begin(), corner.springs.end(),
                                       [&](const SpringResult& spring) { return columns_of(spring) == column; });
        const auto s = static_cast<std::size_t>(same - corner.springs.begin());
        if (same == corner.springs.end() || s >= point.spring_length_mm.size() || s >= point.spring_force_n.size()) {
          text += ",,";
          continue;
        }
        const double in_degrees = 180 / std::numbers::pi;
        text += "," + csv_number(column.torsion ? point.spring_length_mm[s] * in_degrees : point.spring_length_mm[s]);
        text += "," + csv_number(point.spring_force_n[s]);
      }
      for (const PathColumn& column : paths) {
        const std::optional<double>& value = point.path.*column.value;
        text += "," + csv_number(value);
      }
      text += "\n";
    }
  }
  return text;
}

}  // namespace ridepitch
