#pragma once
// Rows that show the same of several places, shown once.

#include <algorithm>
#include <string>
#include <vector>

#include "words/quantity.hpp"

namespace ridepitch {

/// What is shown, and where.
template <class Cells>
struct Grouped {
  Cells cells;
  std::vector<std::string> where;
};

using GroupedRow = Grouped<std::vector<std::string>>;

/// Adds a place to what shows the same, or a new one.
template <class Cells>
void add_to(std::vector<Grouped<Cells>>& groups, const std::type_identity_t<Cells>& cells, const std::string& where) {
  const auto same = std::find_if(groups.begin(), groups.end(), [&](const auto& group) { return group.cells == cells; });
  if (same == groups.end())
    groups.push_back({cells, {where}});
  else
    same->where.push_back(where);
}

/// The places of a row: "all wheels" where they are all that there are, their names otherwise.
/// @param rows  all of one quantity
std::string places_text(const GroupedRow& row, const std::vector<GroupedRow>& rows, Scope of);

}  // namespace ridepitch
