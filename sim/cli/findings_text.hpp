#pragma once
// Findings as they are printed: the gravest first, the same thing of several places said once.

#include <string>
#include <vector>

#include "cli/page.hpp"
#include "model/problem.hpp"
#include "ride/solution.hpp"

namespace ridepitch {

/// The same thing said of several places, said once.
struct MergedFinding {
  Finding finding;
  std::vector<std::string> where;
};

/// Findings with the gravest first; those that differ only in their place are one.
std::vector<MergedFinding> merged_findings(const std::vector<Finding>& findings);

/// Each with its number and its remedy, under a heading; nothing where there is nothing to say.
/// @param notes  of the model's text
std::string findings_text(const std::vector<MergedFinding>& findings, const std::vector<Problem>& notes,
                          const Ink& ink);

/// "1 problem, 2 warnings and 1 note"
std::string findings_count(const std::vector<MergedFinding>& findings, std::size_t notes);

}  // namespace ridepitch
