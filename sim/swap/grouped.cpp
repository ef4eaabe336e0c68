#include "swap/grouped.hpp"

#include <algorithm>

namespace ridepitch {

void add_to(std::vector<GroupedRow>& rows, const std::vector<std::string>& cells, const std::string& where) {
  const auto same = std::find_if(rows.begin(), rows.end(), [&](const GroupedRow& row) { return row.cells == cells; });
  if (same == rows.end()) {
    rows.push_back({cells, {where}});
  } else {
    same->where.push_back(where);
  }
}

}  // namespace ridepitch
