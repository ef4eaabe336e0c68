#include "fit/height_readings.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cctype>

#include "fit/csv_text.hpp"
#include "fit/measure_columns.hpp"
#include "model/fields.hpp"
#include "model/nearest_name.hpp"
#include "model/units.hpp"

namespace ridepitch {
namespace {

constexpr std::size_t most_rows = 500;

constexpr const char* example = "extra_g,rear left_mm,rear right_mm";

/// Letters and digits in small letters, single blanks between words: "Rear_left" and "rear left" are one name.
std::string plain_name(std::string_view name) {
  std::string plain;
  for (const char c : name) {
    const auto byte = static_cast<unsigned char>(c);
    if (byte >= 0x80 || std::isalnum(byte) != 0) {
      plain += static_cast<char>(std::tolower(byte));
    } else if (!plain.empty() && plain.back() != ' ') {
      plain += ' ';
    }
  }
  if (!plain.empty() && plain.back() == ' ') plain.pop_back();
  return plain;
}

/// A column's name without the words that only say that it is a height.
std::string without_height_words(std::string name) {
  for (const std::string_view end : {" ride height", " height", " at"}) {
    if (name.size() > end.size() && name.ends_with(end)) name.resize(name.size() - end.size());
  }
  return name;
}

struct HeightColumn {
  MeasureColumn column;
  int corner = 0;
};

struct Columns {
  std::optional<MeasureColumn> extra;
  std::array<std::optional<MeasureColumn>, 3> place;  // x, y, z
  std::vector<HeightColumn> heights;
  std::vector<std::string> ignored;
};

bool stands(const Model& model, const Corner& corner) {
  return model.linkages[static_cast<std::size_t>(corner.linkage)].plane != Plane::top;
}

std::vector<std::string> corner_names(const Model& model) {
  std::vector<std::string> names;
  for (const Corner& corner : model.corners) {
    if (stands(model, corner)) names.push_back(corner.name);
  }
  return names;
}

std::optional<int> corner_of(const Model& model, const std::string& name) {
  for (std::size_t c = 0; c < model.corners.size(); ++c) {
    if (stands(model, model.corners[c]) && plain_name(model.corners[c].name) == name) return static_cast<int>(c);
  }
  return std::nullopt;
}

void read_column(Reading& reading, const Model& model, const MeasureColumn& column, Columns& columns) {
  const std::string name = without_height_words(plain_name(column.name));
  const auto axis = name == "x" || name == "at x"   ? 0
                    : name == "y" || name == "at y" ? 1
                    : name == "z" || name == "at z" ? 2
                                                    : -1;
  const bool length = column.measure == Measure::length || column.measure == Measure::modules;
  if (axis >= 0 && length) {
    columns.place[static_cast<std::size_t>(axis)] = column;
  } else if (column.measure == Measure::weight) {
    if (columns.extra) {
      reading.problem(column.place, "two-columns",
                      fmt::format("the header has two columns of weights: {} and {}", in_quotes(columns.extra->heading),
                                  in_quotes(column.heading)),
                      "one line holds one extra weight; keep one of the columns");
    } else {
      columns.extra = column;
    }
  } else if (const auto corner = corner_of(model, name)) {
    if (column.measure != Measure::length) {
      reading.problem(
          column.place, "unknown-unit",
          fmt::format("column {} is a corner's height, but has no unit in mm, cm, m or in", in_quotes(column.heading)),
          fmt::format("write {}_mm", model.corners[static_cast<std::size_t>(*corner)].name));
    } else {
      columns.heights.push_back({column, *corner});
    }
  } else if (length) {
    const std::vector<std::string> names = corner_names(model);
    const std::string nearest = nearest_name(name, names);
    reading.problem(column.place, "unknown-corner",
                    fmt::format("column {} names no corner of the model", in_quotes(column.heading)),
                    nearest.empty()
                        ? fmt::format("name each column of heights like its corner: {}", list_in_quotes(names))
                        : fmt::format("did you mean '{}_mm'?", nearest));
  } else {
    columns.ignored.push_back(column.heading);
  }
}

std::optional<Columns> find_columns(Reading& reading, const CsvRow& header, const Model& model) {
  Columns columns;
  for (const MeasureColumn& column : measure_columns(header)) read_column(reading, model, column, columns);
  if (!reading.problems.empty()) return std::nullopt;
  if (!columns.extra) {
    reading.problem(header.place, "no-column", "the header has no column of extra weights with a unit",
                    fmt::format("a header such as {}; a line with 0 is the model as it stands", example));
  }
  if (columns.heights.empty()) {
    reading.problem(header.place, "no-column", "the header has no column of ride heights",
                    fmt::format("name each like its corner, with its unit: {}", example));
  }
  const bool x = columns.place[0].has_value(), y = columns.place[1].has_value();
  if (columns.place[2] && !x && !y) {
    reading.problem(columns.place[2]->place, "no-column", "the header says how high the weight was put, but not where",
                    "add a column x_mm or x_modules, and y if it was not in the middle");
  }
  if (!reading.problems.empty()) return std::nullopt;
  return columns;
}

}  // namespace

ReadHeightReadings read_height_readings(const std::string& text, const std::string& path, const Model& model,
                                        const Vec3& cg_mm) {
  Reading reading;
  reading.sources.push_back({path, with_newlines(text)});
  const auto refused = [&] {
    return ReadHeightReadings{std::nullopt, in_line_order(reading.problems, reading.sources)};
  };
  const auto table = read_csv(reading, 0);
  if (!table) return refused();
  const auto columns = find_columns(reading, table->header, model);
  if (!columns) return refused();

  HeightReadings out;
  out.ignored = columns->ignored;
  CsvNumbers numbers(reading);
  const auto cell = [](const CsvRow& row, const MeasureColumn& column) {
    const auto index = static_cast<std::size_t>(column.index);
    return index < row.cells.size() ? row.cells[index] : CsvCell{"", false, row.place};
  };
  for (const CsvRow& row : table->rows) {
    HeightRow one;
    one.place = {0, row.place.line, 0, 0};
    const CsvCell extra = cell(row, *columns->extra);
    const auto weight = numbers.read(extra, "the extra weight");
    one.extra_kg = weight.value_or(0) * columns->extra->factor / gravity_m_per_s2;
    if (one.extra_kg < 0) {
      reading.problem(extra.place, "negative", "the extra weight is under 0",
                      "count from the lightest state: take out of the model's masses what is not on it then");
    }
    for (std::size_t axis = 0; axis < 3; ++axis) {
      if (!columns->place[axis]) continue;
      const auto position = numbers.read(cell(row, *columns->place[axis]), "where the weight was put");
      const double factor =
          columns->place[axis]->measure == Measure::modules ? model.module_mm : columns->place[axis]->factor;
      if (!one.at_mm) one.at_mm = Vec3(cg_mm.x(), 0, cg_mm.z());
      if (position) (*one.at_mm)[static_cast<Eigen::Index>(axis)] = *position * factor;
    }
    for (const HeightColumn& height : columns->heights) {
      const CsvCell read = cell(row, height.column);
      if (read.text.empty()) continue;  // this corner was not measured under that weight
      if (const auto mm = numbers.read(read, "the ride height"))
        one.height_mm.emplace_back(height.corner, *mm * height.column.factor);
    }
    if (one.height_mm.empty() && reading.problems.empty()) {
      reading.problem(row.place, "empty-cell", "this line has no height",
                      "write the height of one corner at least, or remove the line");
    }
    out.rows.push_back(std::move(one));
  }
  numbers.finish();
  if (out.rows.size() > most_rows) {
    reading.problem(out.rows.back().place, "too-many", fmt::format("the file has over {} lines of heights", most_rows),
                    "is it the right file?");
  }
  if (!reading.problems.empty()) return refused();
  return {std::move(out), {}};
}

}  // namespace ridepitch
