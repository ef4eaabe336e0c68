#include "fit/height_readings.hpp"

#include <fmt/format.h>

#include <array>
#include <cmath>

#include "model/fields.hpp"
#include "model/nearest_name.hpp"
#include "model/units.hpp"

namespace ridepitch {
namespace {

constexpr std::size_t most_height_rows = 500;
constexpr double most_height_mm = 1000;  // no model of bricks stands higher

constexpr const char* example = "extra_g,rear left_mm,rear right_mm";

/// "Rear_left" and "rear left" are one name.
std::string plain_name(std::string_view name) { return fmt::format("{}", fmt::join(words_of(name), " ")); }

/// A column's name without the words that only say that it is a height.
std::string without_height_words(std::string name) {
  for (const std::string_view end : {" ride height", " height", " at"}) {
    if (name.size() > end.size() && name.ends_with(end)) name.resize(name.size() - end.size());
  }
  return name;
}

struct HeightColumns {
  std::optional<MeasureColumn> extra;
  std::array<std::optional<MeasureColumn>, 3> place;   // x, y, z
  std::vector<std::pair<int, MeasureColumn>> heights;  // of a corner
  std::vector<std::string> ignored;
};

bool stands(const Model& model, const Corner& corner) {
  return model.linkages[static_cast<std::size_t>(corner.linkage)].plane != Plane::top;
}

std::optional<int> corner_of(const Model& model, const std::string& name) {
  for (std::size_t c = 0; c < model.corners.size(); ++c)
    if (stands(model, model.corners[c]) && plain_name(model.corners[c].name) == name) return static_cast<int>(c);
  return std::nullopt;
}

/// 0 for x, 1 for y, 2 for z; none where the name is no axis.
std::optional<std::size_t> axis_of(std::string_view name) {
  if (name.starts_with("at ")) name.remove_prefix(3);
  const std::size_t axis = name.size() == 1 ? std::string_view("xyz").find(name) : std::string_view::npos;
  return axis == std::string_view::npos ? std::nullopt : std::optional(axis);
}

Problem unknown_corner(const Model& model, const MeasureColumn& column, const std::string& name) {
  std::vector<std::string> names;
  for (const Corner& corner : model.corners)
    if (stands(model, corner)) names.push_back(corner.name);
  const std::string nearest = nearest_name(name, names);
  return {.place = column.place,
          .code = "unknown-corner",
          .text = fmt::format("column {} names no corner of the model", in_quotes(column.heading)),
          .hint = nearest.empty()
                      ? fmt::format("name each column of heights like its corner: {}", list_in_quotes(names))
                      : fmt::format("did you mean '{}_mm'?", nearest)};
}

void read_column(Reading& reading, const Model& model, const MeasureColumn& column, HeightColumns& columns) {
  const std::string name = without_height_words(plain_name(column.name));
  const auto axis = axis_of(name);
  const bool length = column.measure == Measure::length || column.measure == Measure::modules;
  if (axis && length) {
    columns.place[*axis] = column;
  } else if (column.measure == Measure::weight && !columns.extra) {
    columns.extra = column;
  } else if (column.measure == Measure::weight) {
    reading.problem(column.place, "two-columns",
                    fmt::format("the header has two columns of weights: {} and {}", in_quotes(columns.extra->heading),
                                in_quotes(column.heading)),
                    "one line holds one extra weight; keep one of the columns");
  } else if (const auto corner = corner_of(model, name)) {
    columns.heights.emplace_back(*corner, column);
    if (column.measure != Measure::length)
      reading.problem(
          column.place, "unknown-unit",
          fmt::format("column {} is a corner's height, but has no unit in mm, cm, m or in", in_quotes(column.heading)),
          fmt::format("write {}_mm", model.corners[static_cast<std::size_t>(*corner)].name));
  } else if (length) {
    reading.problem(unknown_corner(model, column, name));
  } else {
    columns.ignored.push_back(column.heading);
  }
}

HeightColumns find_height_columns(Reading& reading, const CsvRow& header, const Model& model) {
  HeightColumns columns;
  for (const MeasureColumn& column : measure_columns(header)) read_column(reading, model, column, columns);
  if (!reading.problems.empty()) return columns;
  const Place place = header.front().place;
  if (!columns.extra)
    reading.problem(place, "no-column", "the header has no column of extra weights with a unit",
                    fmt::format("a header such as {}; a line with 0 is the model as it stands", example));
  if (columns.heights.empty())
    reading.problem(place, "no-column", "the header has no column of ride heights",
                    fmt::format("name each like its corner, with its unit: {}", example));
  if (columns.place[2] && !columns.place[0] && !columns.place[1])
    reading.problem(columns.place[2]->place, "no-column", "the header says how high the weight was put, but not where",
                    "add a column x_mm or x_modules, and y if it was not in the middle");
  return columns;
}

HeightRow read_row(const CsvRow& row, const HeightColumns& columns, CsvNumbers& numbers, const Model& model,
                   const Vec3& cg_mm) {
  HeightRow out;
  out.place = {0, row.front().place.line, 0, 0};
  const CsvCell extra = cell_of(row, *columns.extra);
  out.extra_kg = read_number(numbers, extra, "the extra weight").value_or(0) * columns.extra->factor / gravity_m_per_s2;
  if (out.extra_kg < 0)
    numbers.reading.problem(extra.place, "negative", "the extra weight is under 0",
                            "count from the lightest state: take out of the model's masses what is not on it then");
  for (std::size_t axis = 0; axis < 3; ++axis) {
    const auto& column = columns.place[axis];
    if (!column) continue;
    const auto position = read_number(numbers, cell_of(row, *column), "where the weight was put");
    if (!out.at_mm) out.at_mm = Vec3(cg_mm.x(), 0, cg_mm.z());
    const double mm = column->measure == Measure::modules ? model.module_mm : column->factor;
    if (position) (*out.at_mm)[static_cast<Eigen::Index>(axis)] = *position * mm;
  }
  for (const auto& [corner, column] : columns.heights) {
    const CsvCell cell = cell_of(row, column);
    if (cell.text.empty()) continue;  // this corner was not measured under that weight
    const auto height = read_number(numbers, cell, "the ride height");
    if (!height) continue;
    out.height_mm.emplace_back(corner, *height * column.factor);
    if (std::abs(out.height_mm.back().second) > most_height_mm)
      numbers.reading.problem(
          cell.place, "out-of-range",
          fmt::format("the ride height would be {:.6g} mm here", out.height_mm.back().second),
          fmt::format("heights are at most {} mm; is the unit in the header right?", most_height_mm));
  }
  if (out.height_mm.empty() && numbers.reading.problems.empty())
    numbers.reading.problem(row.front().place, "empty-cell", "this line has no height",
                            "write the height of one corner at least, or remove the line");
  return out;
}

}  // namespace

ReadHeightReadings read_height_readings(const std::string& text, const std::string& path, const Model& model,
                                        const Vec3& cg_mm) {
  return read_table<HeightReadings>(
      text, path, most_height_rows, [&](const CsvTable& table, CsvNumbers& numbers, HeightReadings& out) {
        const HeightColumns columns = find_height_columns(numbers.reading, table.header, model);
        if (!numbers.reading.problems.empty()) return;
        out.ignored = columns.ignored;
        for (const CsvRow& row : table.rows) out.rows.push_back(read_row(row, columns, numbers, model, cg_mm));
      });
}

}  // namespace ridepitch
