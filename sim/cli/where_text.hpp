#pragma once
// The places that a row of a table is of.

#include <string>
#include <vector>

#include "tune/quantity.hpp"

namespace ridepitch {

/// The places of a row: "all wheels" where they are all that there are, their names otherwise.
std::string where_text(const std::vector<std::string>& where, std::size_t all, Scope scope);

}  // namespace ridepitch
