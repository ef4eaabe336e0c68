#include "cli/curves_csv.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <vector>

#include "cli/csv_cells.hpp"
#include "model/units.hpp"
#include "ride/quantity_readers.hpp"

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

/// What a wheel's path does at the ground: a column each, where any wheel has it.
std::vector<PathReader> path_columns(const Solution& solution) {
  std::vector<PathReader> all(std::begin(path_readers), std::end(path_readers));
  std::erase_if(all, [&](const PathReader& column) {
    return std::none_of(solution.curves.begin(), solution.curves.end(), [&](const Curve& curve) {
      return std::any_of(curve.points.begin(), curve.points.end(),
                         [&](const CurvePoint& point) { return (point.path.*column.value).has_value(); });
    });
  });
  return all;
}

std::string header(const std::vector<SpringColumns>& springs, const std::vector<PathReader>& paths) {
  std::string line = "corner,wheel";
  for (const CurveReader& each : curve_readers()) line += fmt::format(",{}", each.name);
  for (const SpringColumns& spring : springs) {
    for (const Quantity* what : told_quantities())
      if (what->of == (spring.torsion ? Scope::torsion : Scope::spring))
        line += "," + csv_text(fmt::format("{}_{}", spring.name, leaf_of(*what)));
  }
  for (const PathReader& column : paths) line += fmt::format(",{}", column.name);
  return line + "\n";
}

}  // namespace

std::string curves_csv(const Solution& solution) {
  const std::vector<SpringColumns> columns = spring_columns(solution);
  const std::vector<PathReader> paths = path_columns(solution);
  std::string text = header(columns, paths);
  for (const Curve& curve : solution.curves) {
    const CornerResult& corner = solution.corners[static_cast<std::size_t>(curve.corner)];
    const std::string wheel =
        csv_text(corner.name) + "," + csv_text(corner.wheels[static_cast<std::size_t>(curve.wheel)].name);
    for (const CurvePoint& point : curve.points) {
      text += wheel;
      for (const CurveReader& each : curve_readers()) text += "," + csv_number(each.value(point));
      for (const SpringColumns& column : columns) {
        const auto same = std::find_if(corner.springs.begin(), corner.springs.end(),
                                       [&](const SpringResult& spring) { return columns_of(spring) == column; });
        const auto s = static_cast<std::size_t>(same - corner.springs.begin());
        if (same == corner.springs.end() || s >= point.spring_length_mm.size() || s >= point.spring_force_n.size()) {
          text += ",,";
          continue;
        }
        text += "," + csv_number(point.spring_length_mm[s] * (column.torsion ? deg_per_rad : 1));
        text += "," + csv_number(point.spring_force_n[s]);
      }
      for (const PathReader& column : paths) text += "," + csv_number(point.path.*column.value);
      text += "\n";
    }
  }
  return text;
}

}  // namespace ridepitch
