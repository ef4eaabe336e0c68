#pragma once
// Quantities as columns and cells of tables.

#include <string_view>
#include <vector>

#include "cli/json_text.hpp"
#include "cli/page.hpp"
#include "ride/figure.hpp"
#include "swap/grouped.hpp"

namespace ridepitch {

/// A column of a quantity, its heading explained by the glossary.
Column quantity_column(std::string_view name);

/// Columns of several.
void add_columns(Table& table, const std::vector<std::string_view>& names);

/// The wheel's values, or its corner's, which stand beside its first wheel alone.
void add_cells(Row& row, const Solved& solved, const Figure& wheel, const std::vector<std::string_view>& names);

/// The wheels that stand on the ground, in file order: figures of no quantity. Those of a top linkage are only steered by it.
std::vector<Figure> wheels_of(const Model& model);

/// The quantity on a line of its own, then its rows: the places that show the same share one ("all wheels" where these are
/// all that there are).
void add_grouped(Table& table, const Quantity& quantity, const std::vector<GroupedRow>& rows);

}  // namespace ridepitch
