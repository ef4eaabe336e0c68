#include <fmt/format.h>

#include <algorithm>
#include <iterator>

#include "cli/commands.hpp"
#include "cli/page.hpp"
#include "model/problem_lines.hpp"
#include "model/read.hpp"
#include "ride/solve.hpp"
#include "steer/further_findings.hpp"

namespace ridepitch {
namespace {

bool has_sprung_wheels(const Model& model) {
  return std::any_of(model.corners.begin(), model.corners.end(), [&](const Corner& corner) {
    const Linkage& linkage = model.linkages[static_cast<std::size_t>(corner.linkage)];
    return linkage.plane != Plane::top && !linkage.wheels.empty();
  });
}

}  // namespace

void add_problems(std::vector<Problem>& all, std::vector<Problem> more, const Model& model) {
  fill_in_lines(more, model);
  std::move(more.begin(), more.end(), std::back_inserter(all));
}

SteerResult add_further_findings(Solved& solved) {
  Further more = look_further(solved.model, solved.solution);
  std::move(more.findings.begin(), more.findings.end(), std::back_inserter(solved.solution.findings));
  solved.stacks = std::move(more.stacks);
  return std::move(more.steering);
}

std::optional<Problem> not_comparable(const Model& a, const Model& b) {
  if (a.bench == b.bench) return std::nullopt;
  return Problem{
      .code = "not-comparable",
      .text = fmt::format("'{}' is on the bench, where each linkage has its load, but '{}' is a vehicle on its wheels",
                          shown((a.bench ? a : b).name), shown((a.bench ? b : a).name)),
      .hint = "compare two models of one kind"};
}

SolvedModels solve_models(const std::vector<std::string>& paths, const SolveOptions& how, bool or_steering) {
  SolvedModels out;
  for (const std::string& path : paths) {
    ReadModel read = read_model(path);
    std::move(read.problems.begin(), read.problems.end(), std::back_inserter(out.problems));
    if (!read.model) continue;
    Solved solved{std::move(*read.model), {}, std::move(read.notes)};
    if (!or_steering || has_sprung_wheels(solved.model)) {
      SolveResult result = solve(solved.model, how);
      if (!result.solution) {
        add_problems(out.problems, std::move(result.problems), solved.model);
        continue;
      }
      solved.solution = std::move(*result.solution);
    }
    out.solved.push_back(std::move(solved));
  }
  return out;
}

}  // namespace ridepitch
