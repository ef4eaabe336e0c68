#pragma once
// How likely a built model keeps what is kept, where its parts scatter.

#include <optional>

#include "model/model.hpp"
#include "ride/scatter.hpp"
#include "ride/solution.hpp"
#include "swap/keep.hpp"

namespace ridepitch {

struct Chance {
  double share = 0;   ///< of the vehicles drawn, those that keep everything
  double within = 0;  ///< standard error of that
  int vehicles = 0;
};

/// A solved model and what was drawn of it.
struct Scattered {
  const Model& model;
  const Solution& solution;
  SampledVehicles sampled;
};

/// Each vehicle of the second model beside the one of the first with the same draws: heights as built, pitch, roll, and of each
/// wheel rate, frequency, bump travel and reserve. One that does not stand keeps nothing. Modes and steering are left out.
/// Corners are matched by name.
/// @returns none where nothing was drawn, or the second model lacks a corner
/// Source: the standard error of a share, sqrt(p (1 - p) / n).
std::optional<Chance> chance_of_keeping(const Scattered& was, const Scattered& is, const Keep& keep);

/// "68 %"
std::string chance_words(const Chance& chance);

}  // namespace ridepitch
