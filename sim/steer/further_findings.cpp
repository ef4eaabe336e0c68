#include "steer/further_findings.hpp"

#include <iterator>

#include "stack/holes.hpp"
#include "stack/tyres.hpp"
#include "steer/joints.hpp"
#include "steer/steering.hpp"

namespace ridepitch {

namespace {

void append(std::vector<Finding> more, std::vector<Finding>& to) {
  std::move(more.begin(), more.end(), std::back_inserter(to));
}

}  // namespace

std::vector<Finding> build_findings(const Model& model, const Solution& solution) {
  std::vector<Finding> findings = find_missing_holes(model);
  append(find_touching_tyres(model, solution), findings);
  return findings;
}

std::vector<Finding> further_findings(const Model& model, const Solution& solution) {
  std::vector<Finding> findings = build_findings(model, solution);
  append(judge_joints(joint_reaches(model, solution)), findings);
  append(steering_findings(model, solution), findings);
  return findings;
}

std::vector<Finding> all_findings(const Model& model, const Solution& solution) {
  std::vector<Finding> findings = solution.findings;
  std::vector<Finding> further = further_findings(model, solution);
  std::move(further.begin(), further.end(), std::back_inserter(findings));
  return findings;
}

}  // namespace ridepitch
