#include "state/solved.hpp"

#include "model/problem_lines.hpp"
#include "ride/solve.hpp"

namespace ridepitch::view {
namespace {

constexpr int points_while_dragging = 41;

}  // namespace

SolvedOrProblems solve_changed(const Model& base, const Changes& changes, Detail detail) {
  SolvedOrProblems out;
  Model model = changed(base, changes);
  SolveOptions options;
  if (detail == Detail::dragging) {
    options.curve_points = points_while_dragging;
    options.other_stances = false;
    options.readings = false;
  }
  SolveResult result = solve(model, options);
  if (!result.solution) {
    out.problems = std::move(result.problems);
    fill_in_lines(out.problems, base);
    return out;
  }
  out.solved = std::make_shared<const Solved>(Solved{std::move(model), std::move(*result.solution)});
  return out;
}

}  // namespace ridepitch::view
