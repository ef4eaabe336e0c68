#include <utility>

#include "cli/commands.hpp"
#include "cli/problem_text.hpp"
#include "model/read.hpp"
#include "ride/solve.hpp"

namespace ridepitch {
namespace {

void move_to(std::vector<Problem>& all, std::vector<Problem>& more) {
  all.insert(all.end(), std::make_move_iterator(more.begin()), std::make_move_iterator(more.end()));
}

}  // namespace

SolvedModels solve_models(const std::vector<std::string>& paths, const SolveOptions& how) {
  SolvedModels out;
  for (const std::string& path : paths) {
    ReadModel read = read_model(path);
    if (!read.model) {
      move_to(out.problems, read.problems);
      continue;
    }
    SolveResult result = solve(*read.model, how);
    if (!result.solution) {
      fill_in_lines(result.problems, *read.model);
      move_to(out.problems, result.problems);
      continue;
    }
    out.solved.push_back({std::move(*read.model), std::move(*result.solution), std::move(read.notes)});
  }
  return out;
}

}  // namespace ridepitch
