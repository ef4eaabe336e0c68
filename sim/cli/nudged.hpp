#pragma once
// What `nudge` prints, as text or JSON.

#include <optional>
#include <string>
#include <vector>

#include "cli/json_text.hpp"
#include "cli/page.hpp"
#include "swap/nudge.hpp"
#include "swap/play.hpp"

namespace ridepitch {

struct Nudged {
  Solved solved;
  Nudge nudge;
  std::vector<int> corners;     ///< whose numbers are shown: the one asked for, or the first of each linkage
  std::vector<Nudge> steering;  ///< of the corners that steer and are shown
  double play_mm = 0;
  std::optional<PlayResult> play;  ///< none without play
};

/// A table for each wheel of the corners shown, the greatest effect first; then the spreads.
std::string nudge_text(const Nudged& nudged, const TextStyle& style);

/// { model, step_modules, now: [...], steps: [...], steering: [...], play: {...} or null }
std::string nudge_json(const Nudged& nudged);

}  // namespace ridepitch
