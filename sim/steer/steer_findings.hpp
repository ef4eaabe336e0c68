#pragma once
// What a builder should know about a steering: every finding with its number, its limit and a remedy.

#include <vector>

#include "ride/solution.hpp"
#include "steer/steering.hpp"

namespace ridepitch {

/// Limits of the findings: common practice, no source. docs/findings.md is the table of them.
struct SteerLimits {
  double rod_margin_deg = 20;     ///< of a rod at full lock, least
  double opposite_deg = 0.5;      ///< that two wheels of an axle may turn apart from each other's side
  double still_deg = 0.5;         ///< that a steered wheel must turn, least
  double error_deg = 3;           ///< of the ideal angle, most
  double centre_error_deg = 0.5;  ///< error of the inner half of the lock that is worth a word
  double unequal_share = 0.1;     ///< of the greater lock, that left and right may differ
  double toe_deg = 3;             ///< static, most
  double bump_deg_per_10mm = 1;   ///< of bump steer at rest, straight ahead, most
  double bump_toe_deg = 6;        ///< of bump steer anywhere in the travel, straight ahead, most
};

/// Judges steerings; in their order.
std::vector<Finding> judge_steering(const std::vector<Steering>& steering, const SteerLimits& limits = {});

}  // namespace ridepitch
