#pragma once
// The whole solver once more, for the tests: same questions (docs/model-format.md, "What the numbers mean"),
// other method, no code shared with sim/ beyond the structs of the model and the result.
//
// Every body of every corner keeps its own three coordinates; the total potential energy is minimised under
// joints and stops with GSL's linear algebra and automatic derivatives; rates come from differences of re-solved
// positions. Speed is no concern.

#include "ride/solution.hpp"

namespace ridepitch::oracle {

/// What a comparison must know beyond the numbers.
struct CornerNotes {
  bool forces_told = true;  ///< rod and pin forces follow from statics alone
  bool settles = true;      ///< heights held by friction were found: none is so near a dead point that it has no rates
};

struct OracleSolution {
  Solution solution;  ///< findings, curves, other stances are left empty
  std::vector<CornerNotes> corners;
};

/// @throws std::runtime_error where it finds no answer
OracleSolution solve(const Model& model);

}  // namespace ridepitch::oracle
