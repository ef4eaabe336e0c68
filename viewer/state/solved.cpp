#include "state/solved.hpp"

#include <algorithm>
#include <iterator>

#include "model/index.hpp"
#include "model/problem_lines.hpp"
#include "ride/solve.hpp"
#include "steer/further_findings.hpp"

namespace ridepitch::view {
namespace {

constexpr int points_while_dragging = 41, points = 201;

}  // namespace

SolvedOrProblems solve_changed(const Model& base, const Changes& changes, Detail detail) {
  SolvedOrProblems out;
  Model model = changed(base, changes);
  SolveOptions options;
  if (detail == Detail::dragging) {
    options.curve_points = points_while_dragging;
    options.other_stances = false;
    options.trials = false;
    options.readings = false;
  }
  SolveResult result = solve(model, options);
  if (!result.solution) {
    out.problems = std::move(result.problems);
    fill_in_lines(out.problems, base);
    return out;
  }
  Solved solved{std::move(model), std::move(*result.solution), {}, {}, detail};
  if (is_steered(solved.model)) {
    SteerOptions how;
    how.points = detail == Detail::dragging ? points_while_dragging : points;
    how.clearance = detail == Detail::full;
    SteerResult steering = steer(solved.model, solved.solution, how);
    solved.steered = std::move(steering.steered);
    solved.steering_problems = std::move(steering.problems);
    fill_in_lines(solved.steering_problems, base);
  }
  if (detail == Detail::full) {
    Further more = look_at_build(solved.model, solved.solution, solved.steered ? &*solved.steered : nullptr);
    std::move(more.findings.begin(), more.findings.end(), std::back_inserter(solved.solution.findings));
    solved.stacks = std::move(more.stacks);
  }
  out.solved = std::make_shared<const Solved>(std::move(solved));
  return out;
}

Results results_of(const Solved& solved) {
  return {solved.model, solved.solution, solved.steered ? &*solved.steered : nullptr};
}

Comparison compared(const Solved& before, const Solved& now) {
  return compare(results_of(before), results_of(now), {},
                 now.steering_problems.empty() ? "" : now.steering_problems.front().text);
}

}  // namespace ridepitch::view
