#pragma once
// Candidates that the tests of this folder draw, and the kernels' answers to them.

#include <random>
#include <string>
#include <vector>

#include "model/change.hpp"
#include "model/model.hpp"
#include "ride/solve.hpp"
#include "tune/batch.hpp"
#include "tune/write_tape.hpp"

namespace ridepitch {

/// As the search solves: no second look for other stances.
SolveResult solve_as_search(const Model& model);

struct Moves {
  double reach_modules = 0.5;  ///< of every hole along u and v, and of every rod
  double share = 1;            ///< of the holes, rods and coils that move at all
  bool on_grid = false;        ///< a whole reach or nothing; else anything between
  double longer_mm =
      8;  ///< coils of the catalogue, one to three of them, go in place of coils: how much longer or shorter
};

/// Moves holes and changes rods and coils of the linkages that stand on the ground.
Changes draw_changes(const Model& model, const Moves& moves, std::mt19937& random);

/// Model, its solution and its tape; `tape` is empty where the closed form does not cover it, `why_not` says why.
struct Taped {
  Model model;
  std::optional<WrittenTape> tape;
  std::string why_not;
};
/// Everything is wanted of the tape: margins and bump load. No tape where the model has no solution.
Taped taped(Model model);

/// Answers of a kernel to candidates taken in the given order, `first` lanes of the first batch left as the model stands.
/// @returns by candidate, whatever the order
std::vector<TapeResult> answers(const BatchKernel& kernel, const Taped& taped, const std::vector<Changes>& candidates,
                                const std::vector<int>& order, int first, TapeLook look);

/// In their own order.
std::vector<TapeResult> answers(const BatchKernel& kernel, const Taped& taped, const std::vector<Changes>& candidates,
                                TapeLook look);

}  // namespace ridepitch
