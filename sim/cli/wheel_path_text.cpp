#include "cli/wheel_path_text.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace ridepitch {
namespace {

struct Path {
  std::string name;  ///< "rear left/hub"
  const WheelPath* path = nullptr;
};

std::vector<Path> paths_of(const Solution& solution) {
  std::vector<Path> paths;
  for (const CornerResult& corner : solution.corners) {
    for (const WheelResult& wheel : corner.wheels) {
      if (wheel.path) paths.push_back({shown(corner.name + "/" + wheel.name), &*wheel.path});
    }
  }
  return paths;
}

std::string camber_text(const Solution& solution, const TextStyle& style) {
  const bool bench = !solution.vehicle;
  Table table;
  table.columns = {text_column("Camber and track"),
                   word_column("camber", "deg"),
                   word_column("camber change", "deg/mm"),
                   word_column("at droop", "deg"),
                   word_column("at bump", "deg"),
                   word_column("track change", "mm/mm"),
                   {"at droop", "mm"},
                   {"at bump", "mm"}};
  if (bench) table.columns.push_back(word_column("roll centre", "mm"));
  for (const auto& [name, path] : paths_of(solution)) {
    if (!path->rest.camber_deg) continue;
    table.rows.push_back({name, number(path->rest.camber_deg, 2), number(path->camber_deg_per_mm, 3),
                          number(path->droop.camber_deg, 2), number(path->bump.camber_deg, 2),
                          number(path->track_change_mm_per_mm, 3), number(path->droop.track_change_mm, 1),
                          number(path->bump.track_change_mm, 1)});
    if (bench) table.rows.back().push_back(number(path->rest.roll_centre_mm, 1));
  }
  return sides_text(std::move(table), style);
}

std::string wheelbase_text(const Solution& solution, const TextStyle& style) {
  Table table;
  table.columns = {text_column("Wheelbase"), word_column("wheelbase change", "mm/mm"), word_column("at droop", "mm"),
                   word_column("at bump", "mm")};
  bool any = false;
  for (const auto& [name, path] : paths_of(solution)) {
    if (!path->wheelbase_change_mm_per_mm) continue;
    table.rows.push_back({name, number(path->wheelbase_change_mm_per_mm, 3), number(path->droop.wheelbase_change_mm, 1),
                          number(path->bump.wheelbase_change_mm, 1)});
    any = any || *path->wheelbase_change_mm_per_mm != 0;
  }
  return any ? sides_text(std::move(table), style) : "";
}

/// Only where something leans: arms in the side plane have their roll centre on the ground, as everybody knows.
std::string axles_text(const Solution& solution, const TextStyle& style) {
  const std::vector<Path> paths = paths_of(solution);
  if (std::none_of(paths.begin(), paths.end(), [](const Path& p) { return p.path->rest.camber_deg.has_value(); }))
    return "";
  Table table;
  table.columns = {text_column("Axles"), word_column("track", "mm"), word_column("roll centre", "mm")};
  for (const AxleResult& axle : solution.axles) {
    table.rows.push_back({shown(axle.wheels[0]) + ", " + shown(axle.wheels[1]), number(axle.track_mm, 1),
                          number(axle.roll_centre_mm, 1)});
  }
  return sides_text(std::move(table), style);
}

}  // namespace

std::string wheel_paths_text(const Solved& solved, const TextStyle& style) {
  const Solution& solution = solved.solution;
  return blocks({camber_text(solution, style), wheelbase_text(solution, style), axles_text(solution, style)});
}

}  // namespace ridepitch
