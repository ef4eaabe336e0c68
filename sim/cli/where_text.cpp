#include "cli/where_text.hpp"

#include "cli/page.hpp"

namespace ridepitch {

std::string where_text(const std::vector<std::string>& where, std::size_t all, Scope scope) {
  if (scope == Scope::vehicle) return "the vehicle";
  if (where.size() == all && all > 1) return scope == Scope::wheel ? "all wheels" : "all corners";
  return names_shown(where);
}

}  // namespace ridepitch
