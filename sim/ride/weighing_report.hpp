#pragma once
// Scale readings judged: how sure the mass they give is, and whether they contradict each other.

#include <vector>

#include "model/model.hpp"
#include "ride/readings.hpp"
#include "ride/solution.hpp"

namespace ridepitch {

/// How far off the place of a corner, or the height of a block under a wheel, may be.
inline constexpr double ruler_within_mm = 1.0;

/// What a weighed vehicle's readings are worth. The vehicle is solved again with each reading, place and height off by
/// what it may be off, one at a time.
/// @pre model.weighed is not empty and `solution` is its solution
Weighing weighing_report(const Model& model, const Solution& solution);

/// `readings-disagree` where a reading and the computed load lie farther apart than errors explain; `weighed-together`
/// where one reading spans wheels that stand one behind the other at different corners.
std::vector<Finding> judge_weighing(const Model& model, const Solution& solution, const Weighing& weighing);

}  // namespace ridepitch
