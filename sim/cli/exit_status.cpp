#include "cli/exit_status.hpp"

#include <algorithm>

namespace ridepitch {

int exit_status(const std::vector<Problem>& problems) {
  if (problems.empty()) return exit_done;
  const bool text =
      std::any_of(problems.begin(), problems.end(), [](const Problem& each) { return each.fault == Fault::text; });
  return text ? exit_text_at_fault : exit_no_solution;
}

}  // namespace ridepitch
