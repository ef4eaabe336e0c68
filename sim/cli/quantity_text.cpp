#include "cli/quantity_text.hpp"

#include "ride/quantity_readers.hpp"

namespace ridepitch {

Column quantity_column(std::string_view name) {
  const Quantity& what = quantity(name);
  return {std::string(heading_of(what)), std::string(what.unit), std::string(meaning_of(what))};
}

void add_columns(Table& table, const std::vector<std::string_view>& names) {
  for (const std::string_view name : names) table.columns.push_back(quantity_column(name));
}

void add_cells(Row& row, const Solved& solved, const Figure& wheel, const std::vector<std::string_view>& names) {
  for (const std::string_view name : names) {
    Figure figure = wheel;
    figure.what = &quantity(name);
    const bool of_corner = figure.what->of == Scope::corner;
    row.push_back(of_corner && wheel.wheel > 0 ? ""
                                               : number(*figure.what, value_of(solved.model, solved.solution, figure)));
  }
}

std::vector<Figure> wheels_of(const Model& model) {
  std::vector<Figure> parts = corners_and_wheels(model);
  std::erase_if(parts, [](const Figure& part) { return part.wheel < 0; });
  return parts;
}

void add_grouped(Table& table, const Quantity& quantity, const std::vector<GroupedRow>& rows) {
  if (rows.empty()) return;
  table.rows.push_back({words_with_unit(quantity)});
  for (const GroupedRow& row : rows) {
    Row cells = {"  " + shown(places_text(row, rows, quantity.of))};
    cells.insert(cells.end(), row.cells.begin(), row.cells.end());
    table.rows.push_back(std::move(cells));
  }
}

}  // namespace ridepitch
