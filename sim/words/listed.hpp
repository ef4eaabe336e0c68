#pragma once

#include <string>
#include <vector>

namespace ridepitch {

/// "a, b and c".
std::string listed(const std::vector<std::string>& words);

}  // namespace ridepitch
