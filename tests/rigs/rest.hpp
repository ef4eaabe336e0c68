#pragma once
// Models at rest. What has no solution fails the calling test, which goes on with an empty one.

#include <string>

#include "ride/solve.hpp"

namespace ridepitch {

Solution solved(const Model& model, const SolveOptions& options = {});

/// A text read, its wheels on plain tyres, and solved.
Solution rested(const std::string& text);

/// The one problem that keeps that from being solved.
Problem no_rest(const std::string& text);

/// A model and how it stands.
struct Standing {
  Model model;
  Solution solution;
};
Standing standing(Model model);

}  // namespace ridepitch
