#pragma once
// What `--json` prints: one document, keys in a fixed order, numbers that read back to the same double.

#include <string>
#include <vector>

#include "model/model.hpp"
#include "model/problem.hpp"
#include "ride/solution.hpp"
#include "stack/stacks.hpp"

namespace ridepitch {

/// A model with what was found of it.
struct Solved {
  Model model;
  Solution solution;
  std::vector<Problem> notes;  ///< of its text
  Stacks stacks = {};          ///< where parts lie across the plane; empty where that was not asked for
};

/// { "format": 1, "model": ..., ... } for one model, { "format": 1, "models": [ ... ] } for several.
std::string solve_json(const std::vector<Solved>& solved);

/// What `new` wrote and what `solve` says of it: { "format": 1, "written": path, "assumed": [keys], "model", ... }.
std::string new_json(const Solved& solved, const std::string& path, const std::vector<std::string>& assumed);

/// What `check` found of one model: its name, how much there is of it, and the notes.
std::string check_json(const std::vector<Solved>& checked);

/// { "format": 1, "errors": [ { file, line, column, code, text, hint } ] }; null where there is none.
std::string errors_json(const std::vector<Problem>& problems);

}  // namespace ridepitch
