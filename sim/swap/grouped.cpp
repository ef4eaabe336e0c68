#include "swap/grouped.hpp"

#include <fmt/format.h>

namespace ridepitch {

std::string places_text(const GroupedRow& row, const std::vector<GroupedRow>& rows, Scope of) {
  if (of == Scope::vehicle) return "the vehicle";
  std::size_t all = 0;
  for (const GroupedRow& each : rows) all += each.where.size();
  const bool everywhere = row.where.size() == all && all > 1;
  if (everywhere && of == Scope::wheel) return "all wheels";
  if (everywhere && of == Scope::corner) return "all corners";
  return fmt::format("{}", fmt::join(row.where, ", "));
}

}  // namespace ridepitch
