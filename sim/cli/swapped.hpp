#pragma once
// What `swap` and `nudge` print, as text or JSON.

#include <optional>
#include <string>
#include <vector>

#include "cli/json_text.hpp"
#include "cli/page.hpp"
#include "swap/chance.hpp"
#include "swap/compare.hpp"
#include "swap/nudge.hpp"

namespace ridepitch {

struct Swapped {
  Solved before;
  std::optional<Solved> after;   ///< none where the changed model has no solution
  std::vector<Problem> why_not;  ///< then
  Changes changes;               ///< of the command line; none where there are two models
  Keep keep;
  Comparison comparison;
  std::string written;                ///< the file that the changed model went to; empty: none
  std::optional<Chance> chance = {};  ///< that a built one keeps what is kept; none: nothing was drawn
};

/// { holds, verdict, keep, changes, shopping: {...} or null, before: {solve}, after: {solve} or null, errors, differences,
/// needs, written }
std::string swap_json(const Swapped& swapped);

std::string swap_text(const Swapped& swapped, const TextStyle& style);

struct Nudged {
  Solved solved;
  Nudge nudge;
  std::vector<int> corners;     ///< whose numbers are shown: the one asked for, or the first of each linkage
  std::vector<Nudge> steering;  ///< of the corners that steer and are shown
};

/// How many steps were tried, and how many there are.
std::pair<std::size_t, std::size_t> steps_tried(const Nudged& nudged);

/// A table for each wheel of the corners shown, the greatest effect first; then what play does.
std::string nudge_text(const Nudged& nudged, const TextStyle& style);

/// { model, candidates, looked_at, complete, step_modules, now: [...], steps: [...], steering: [...], play: {...} }
std::string nudge_json(const Nudged& nudged);

}  // namespace ridepitch
