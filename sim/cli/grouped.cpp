#include "cli/grouped.hpp"

#include <algorithm>

namespace ridepitch {

void add_to(std::vector<GroupedRow>& rows, const Row& cells, const std::string& where) {
  const auto same = std::find_if(rows.begin(), rows.end(), [&](const GroupedRow& row) { return row.cells == cells; });
  if (same == rows.end()) {
    rows.push_back({cells, {where}});
  } else {
    same->where.push_back(where);
  }
}

std::string listed(const std::vector<std::string>& words) {
  std::string text;
  for (std::size_t i = 0; i < words.size(); ++i) {
    text += (i == 0 ? "" : i + 1 == words.size() ? " and " : ", ") + shown(words[i]);
  }
  return text;
}

std::string where_text(const std::vector<std::string>& where, std::size_t all, Scope scope) {
  if (scope == Scope::vehicle) return "the vehicle";
  if (where.size() == all && all > 1) return scope == Scope::wheel ? "all wheels" : "all corners";
  std::string text;
  for (const std::string& each : where) text += (text.empty() ? "" : ", ") + shown(each);
  return text;
}

}  // namespace ridepitch
