#pragma once
// A model with what the library says of it.

#include <memory>
#include <optional>
#include <vector>

#include "model/change.hpp"
#include "model/model.hpp"
#include "model/problem.hpp"
#include "ride/solution.hpp"
#include "steer/steering.hpp"

namespace ridepitch::view {

/// How much is worked out: while something is dragged less of it, so that a frame is kept. No number differs by it but
/// what is read off between the points of a curve; the search for other stances, room at lock and the judging of ruler and
/// scale wait until the hand lets go.
enum class Detail { dragging, full };

struct Solved {
  Model model;
  Solution solution;
  std::optional<Steered> steered;          ///< where something is steered, and can be
  std::vector<Problem> steering_problems;  ///< why it can't
  Detail detail = Detail::full;            ///< how much of it was worked out
};

using SolvedPtr = std::shared_ptr<const Solved>;

struct SolvedOrProblems {
  SolvedPtr solved;               ///< null if there is no solution
  std::vector<Problem> problems;  ///< why; with file names and lines
};

/// The model with the changes made, solved by the library.
SolvedOrProblems solve_changed(const Model& base, const Changes& changes, Detail detail);

}  // namespace ridepitch::view
