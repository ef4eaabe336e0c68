#pragma once
// All linkages of a model file.

#include <vector>

#include "model/linkage_draft.hpp"

namespace ridepitch {

/// Reads `[linkage.NAME]` tables. What they say of corners (`same_as`) is not looked at: see read_corners.hpp.
std::vector<Linkage> read_linkages(Reading& reading, const PartsAndUnits& parts, const TomlEntry* entry);

/// Refuses drives that follow nothing, or themselves. `tables` are those the linkages were read from.
void check_followers(Reading& reading, const TomlTable& tables, const std::vector<Linkage>& linkages);

}  // namespace ridepitch
