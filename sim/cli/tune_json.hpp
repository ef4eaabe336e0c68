#pragma once
// What `tune` found, as JSON.

#include <string>

#include "cli/searched.hpp"

namespace ridepitch {

/// { candidates, assembled, passing, exhaustive, ..., results: [ { score, changes, quantities } ] }
std::string tune_json(const Tuned& tuned);

}  // namespace ridepitch
