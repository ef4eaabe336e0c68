#include "rigs/rest.hpp"

#include <gtest/gtest.h>

#include "rigs/models.hpp"

namespace ridepitch {

Solution solved(const Model& model, const SolveOptions& options) {
  SolveResult result = solve(model, options);
  for (const Problem& problem : result.problems) ADD_FAILURE() << problem.code << ": " << problem.text;
  return std::move(result.solution).value_or(Solution{});
}

Solution rested(const std::string& text) { return solved(on_tyres(read_rig(text))); }

Problem no_rest(const std::string& text) {
  const SolveResult result = solve(on_tyres(read_rig(text)));
  EXPECT_FALSE(result.solution.has_value());
  EXPECT_EQ(result.problems.size(), 1u);
  return result.problems.empty() ? Problem{} : result.problems.front();
}

Standing standing(Model model) {
  Solution solution = solved(model);
  return {std::move(model), std::move(solution)};
}

}  // namespace ridepitch
