#pragma once
// The numbers of the window: what a model says before and now, of the vehicle and of one corner.

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "state/solved.hpp"
#include "swap/compare.hpp"

namespace ridepitch::view {

struct NumberRow {
  std::string where;       ///< "", "rear left", "rear left/hub", "rear left/main"
  std::string_view words;  ///< "wheel rate": a word of the glossary where there is one
  std::string_view unit;
  int decimals = 1;
  std::optional<double> before, now;  ///< as shown, in `unit`
  bool within = true;                 ///< its tolerance, where it has one
  bool later = false;                 ///< `now` is worked out when the hand lets go
};

/// Rows of the vehicle, then of a corner and its wheels, then of its springs or of what it steers.
/// @param before  may be null
/// @param comparison  of the two; null: nothing is judged
std::vector<NumberRow> number_rows(const Solved* before, const Solved& now, const Comparison* comparison, int corner);

/// The difference with its sign; empty where it rounds to nothing or one is missing.
std::string difference_text(const NumberRow& row);

}  // namespace ridepitch::view
