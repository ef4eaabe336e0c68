#include "steer/further_findings.hpp"

#include <iterator>

#include "stack/holes.hpp"
#include "stack/tyres.hpp"
#include "steer/joints.hpp"

namespace ridepitch {
namespace {

// Bodies of a steering turn by a degree or so from one to the next.
constexpr int poses_of_a_drive = 41;

void append(std::vector<Finding> more, std::vector<Finding>& to) {
  std::move(more.begin(), more.end(), std::back_inserter(to));
}

std::vector<DriveMotion> drive_motions(const Steered& steered) {
  std::vector<DriveMotion> drives;
  for (const Steering& steering : steered.steering) {
    Motion motion{.kind = Motion::Kind::drive, .corners = {steering.corner}, .degrees = steering.crank};
    for (std::size_t k = 0; k < steering.poses.size(); ++k) {
      motion.poses.emplace_back(steering.poses[k].begin() + 1, steering.poses[k].end());
      motion.place.push_back(steering.sweep[k].drive);
    }
    if (!motion.poses.empty()) drives.push_back({steering.linkage, std::move(motion)});
  }
  return drives;
}

}  // namespace

Further look_at_build(const Model& model, const Solution& solution, const Steered* steered) {
  Further out;
  out.findings = find_missing_holes(model);
  out.stacks = find_stacks(model, solution, steered ? drive_motions(*steered) : std::vector<DriveMotion>{});
  append(out.stacks.findings, out.findings);
  append(find_touching_tyres(model, solution), out.findings);
  append(judge_joints(joint_reaches(model, solution)), out.findings);
  return out;
}

Further look_further(const Model& model, const Solution& solution) {
  SteerResult steering;
  if (is_steered(model)) steering = steer(model, solution, {.points = poses_of_a_drive, .only_findings = true});
  Further out = look_at_build(model, solution, steering.steered ? &*steering.steered : nullptr);
  append(steering_findings(model, steering), out.findings);
  out.steering = std::move(steering);
  return out;
}

Results results_of(const Model& model, const Solution& solution, const SteerResult& steering) {
  return {model, solution, steering.steered ? &*steering.steered : nullptr};
}

std::string why_not_steered(const SteerResult& steering) {
  return steering.problems.empty() ? "" : steering.problems.front().text;
}

std::vector<Finding> all_findings(const Model& model, const Solution& solution) {
  std::vector<Finding> findings = solution.findings;
  append(look_further(model, solution).findings, findings);
  return findings;
}

}  // namespace ridepitch
