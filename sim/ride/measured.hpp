#pragma once
// Ruler readings beside computed heights.

#include <vector>

#include "model/model.hpp"
#include "ride/readings.hpp"
#include "ride/solution.hpp"

namespace ridepitch {

/// The model's [[measured]] heights beside those of its solution.
std::vector<MeasuredHeight> compare_measured(const Model& model, const Solution& solution);

/// Whether a ruler reading lies farther from the computed height than it may be off.
bool differs(const MeasuredHeight& height);

/// `measured-differs` for every height that does.
std::vector<Finding> judge_measured(const Solution& solution, const std::vector<MeasuredHeight>& measured,
                                    const std::vector<LikelyCause>& causes);

}  // namespace ridepitch
