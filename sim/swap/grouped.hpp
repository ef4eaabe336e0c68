#pragma once
// Rows that show the same of several places, shown once.

#include <string>
#include <vector>

namespace ridepitch {

struct GroupedRow {
  std::vector<std::string> cells;
  std::vector<std::string> where;
};

/// Adds a place to the row that shows these cells, or a row.
void add_to(std::vector<GroupedRow>& rows, const std::vector<std::string>& cells, const std::string& where);

}  // namespace ridepitch
