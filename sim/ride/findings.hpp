#pragma once
// What a builder should know about a solved vehicle: every finding with its number, its limit and a remedy.

#include <vector>

#include "model/model.hpp"
#include "ride/solution.hpp"

namespace ridepitch {

/// Limits of the findings: common practice, no source. docs/findings.md is the table of them.
struct FindingLimits {
  double droop_share = 0.25;         ///< of the travel, least
  double bump_share = 0.35;          ///< of the travel, least
  double reserve = 2.0;              ///< least
  double margin_deg = 20.0;          ///< toggle and coil, least
  double left_right_share = 0.15;    ///< of the greater load, most
  double frequency_ratio_low = 0.8;  ///< front / rear
  double frequency_ratio_high = 1.25;
  double pin_force_n = 15.0;       ///< most on one body
  double point_mass_share = 0.05;  ///< of the sprung mass without a size, most
};

/// Judges a solved vehicle: everything that follows from its numbers. In order of corners, the vehicle last.
std::vector<Finding> judge(const Model& model, const Solution& solution, const FindingLimits& limits = {});

}  // namespace ridepitch
