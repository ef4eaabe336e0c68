#pragma once
// Where the wheels go: camber, track, wheelbase, roll centres, as tables.

#include <string>

#include "cli/json_text.hpp"
#include "cli/page.hpp"

namespace ridepitch {

/// A table of wheels that lean, one of wheels that move along, one of axles, as far as the model has such; parted by an
/// empty line. Empty where it has none.
std::string wheel_paths_text(const Solved& solved, const TextStyle& style);

}  // namespace ridepitch
