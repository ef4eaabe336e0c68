#include "cli/exit_status.hpp"

#include <algorithm>

namespace ridepitch {

int exit_status(const std::vector<Problem>& problems) {
  if (problems.empty()) return exit_done;
  const auto any = [&](Fault fault) {
    return std::any_of(problems.begin(), problems.end(), [&](const Problem& each) { return each.fault == fault; });
  };
  return any(Fault::text) ? exit_text_at_fault : any(Fault::no_solution) ? exit_no_solution : exit_verdict_fails;
}

}  // namespace ridepitch
