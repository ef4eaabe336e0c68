#pragma once
// The main job: a model in, everything that can be said of it at rest out.

#include <optional>
#include <vector>

#include "model/model.hpp"
#include "ride/floor.hpp"
#include "ride/solution.hpp"

namespace ridepitch {

struct SolveOptions {
  int curve_points = 201;           ///< for each wheel; >= 2
  bool other_stances = true;        ///< look for stances beside the one reached by lowering
  bool trials = true;               ///< press and lift it, load it until it bottoms, lean it in a bend
  bool readings = true;             ///< judge what scale and ruler read: how sure it is, what explains a difference
  bool ranges = false;              ///< what built ones come to, even where the model has no [spread]
  std::optional<Floor> floor = {};  ///< the ground it stands on; none: level, and nothing is said of it
};

/// For who asks nothing but how it stands.
inline constexpr SolveOptions only_the_stance{
    .curve_points = 2, .other_stances = false, .trials = false, .readings = false};

struct SolveResult {
  std::optional<Solution> solution;
  std::vector<Problem> problems;  ///< why there is none; Fault tells the exit status
};

/// Puts the model's linkages together, sweeps their travel, lets the vehicle down onto its wheels
/// and judges how it stands.
SolveResult solve(const Model& model, const SolveOptions& options = {});

}  // namespace ridepitch
