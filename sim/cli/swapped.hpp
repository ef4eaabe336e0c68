#pragma once
// A comparison with all that `swap` prints of it.

#include <optional>
#include <string>
#include <vector>

#include "cli/json_text.hpp"
#include "cli/page.hpp"
#include "model/change.hpp"
#include "swap/compare.hpp"

namespace ridepitch {

struct Swapped {
  Solved before;
  std::optional<Solved> after;   ///< none where the changed model has no solution
  std::vector<Problem> why_not;  ///< then
  Changes changes;               ///< of the command line; none where there are two models
  Keep keep;
  Comparison comparison;
  std::string written;  ///< the file that the changed model went to; empty: none
};

/// { holds, verdict, keep, changes, before: {solve}, after: {solve} or null, errors, differences, needs, written }
std::string swap_json(const Swapped& swapped);

std::string swap_text(const Swapped& swapped, const TextStyle& style);

}  // namespace ridepitch
