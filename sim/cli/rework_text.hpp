#pragma once
// What can stand in for a part that is gone, for reading and as JSON.

#include <optional>
#include <string>
#include <vector>

#include "cli/page.hpp"
#include "cli/searched.hpp"
#include "swap/rework.hpp"

namespace ridepitch {

/// Everything that `rework` found.
struct Reworked {
  Solved before;
  std::vector<std::string> gone;
  Keep keep;
  std::vector<StandIn> alone;    ///< best first
  HoleSearch holes;              ///< where none of them holds
  std::optional<Solved> picked;  ///< the one to build, solved
  Changes picked_changes;
  std::string written;

  /// Stand-ins that hold, then layouts that hold: what can be picked.
  std::vector<const Changes*> choices() const;
};

std::string rework_text(const Reworked& reworked, const TuneOptions& how, const TextStyle& style);

std::string rework_json(const Reworked& reworked);

}  // namespace ridepitch
