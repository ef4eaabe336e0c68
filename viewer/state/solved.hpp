#pragma once
// A model with what the library says of it.

#include <memory>
#include <optional>
#include <vector>

#include "model/change.hpp"
#include "model/model.hpp"
#include "model/problem.hpp"
#include "ride/solution.hpp"
#include "stack/stacks.hpp"
#include "steer/steering.hpp"
#include "swap/compare.hpp"

namespace ridepitch::view {

/// How much is computed. While something is dragged it is less, to keep the frame rate: curves have fewer points, and other
/// stances, lock clearance, slices and the readings of ruler and scale wait until the drag ends. All other numbers are the same.
enum class Detail { dragging, full };

struct Solved {
  Model model;
  Solution solution;
  std::optional<Steered> steered;          ///< where something is steered, and can be
  std::vector<Problem> steering_problems;  ///< why it can't
  Detail detail = Detail::full;            ///< how much was computed
  Stacks stacks = {};                      ///< where parts lie across the plane; of a full one
};

using SolvedPtr = std::shared_ptr<const Solved>;

struct SolvedOrProblems {
  SolvedPtr solved;               ///< null if there is no solution
  std::vector<Problem> problems;  ///< why; with file names and lines
};

/// The model with the changes made, solved by the library.
SolvedOrProblems solve_changed(const Model& base, const Changes& changes, Detail detail);

Results results_of(const Solved& solved);

/// What differs, a steering included.
Comparison compared(const Solved& before, const Solved& now);

}  // namespace ridepitch::view
