#pragma once
// The files that a model names, seen from another folder.

#include <string>
#include <utility>
#include <vector>

#include "model/toml_edit.hpp"

namespace ridepitch {

/// Where the text names a catalogue or price list by a path that leads elsewhere from the target's folder, and the path
/// that leads there from it. None for absolute paths, and where the very same file lies beside the target.
std::vector<std::pair<TomlPath, std::string>> paths_for_another_folder(const TomlDocument& document,
                                                                       const std::string& source_path,
                                                                       const std::string& target_path);

}  // namespace ridepitch
