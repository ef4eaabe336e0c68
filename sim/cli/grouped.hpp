#pragma once
// Rows that show the same of several places, shown once.

#include <string>
#include <vector>

#include "cli/page.hpp"
#include "swap/spots.hpp"

namespace ridepitch {

struct GroupedRow {
  Row cells;
  std::vector<std::string> where;
};

/// Adds a place to the row that shows these cells, or a row.
void add_to(std::vector<GroupedRow>& rows, const Row& cells, const std::string& where);

/// "a, b and c", made safe to print.
std::string listed(const std::vector<std::string>& words);

/// The places of a row: "all wheels" where they are all that there are, their names otherwise.
std::string where_text(const std::vector<std::string>& where, std::size_t all, Scope scope);

}  // namespace ridepitch
