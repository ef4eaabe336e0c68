#include "steer/further_findings.hpp"

#include <iterator>

#include "stack/holes.hpp"
#include "steer/steering.hpp"

namespace ridepitch {

std::vector<Finding> further_findings(const Model& model, const Solution& solution) {
  std::vector<Finding> findings = find_missing_holes(model);
  std::vector<Finding> steering = steering_findings(model, solution);
  std::move(steering.begin(), steering.end(), std::back_inserter(findings));
  return findings;
}

std::vector<Finding> all_findings(const Model& model, const Solution& solution) {
  std::vector<Finding> findings = solution.findings;
  std::vector<Finding> further = further_findings(model, solution);
  std::move(further.begin(), further.end(), std::back_inserter(findings));
  return findings;
}

}  // namespace ridepitch
