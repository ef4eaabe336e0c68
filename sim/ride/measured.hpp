#pragma once
// What ruler and scale read beside what is computed: how far apart, whether friction or errors explain it, what else would.

#include <optional>
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

/// Where a measured height differs: single things that would explain at least half of the misfit (sum of squares, each over
/// the ruler's `within_mm`), each with the amount that fits best, the vehicle solved again with it. What would need over
/// four standard deviations of its own, or explains less than "each height is off by a slip of its own" does, is left out: so
/// there may be none. One hole or rod that is off is looked for only where nothing else is found. The likeliest first,
/// eight at most. Derived in docs/theory.md, "Heights that differ".
std::vector<LikelyCause> likely_causes(const Model& model, const Solution& solution,
                                       const std::vector<MeasuredHeight>& measured);

/// What a ruler should read after a change: what it read before, and what the change does to the computed height. So
/// whatever is off in the model and is not changed is left out of it.
double expected_height_mm(double ruler_mm, double computed_before_mm, double computed_after_mm);

/// How far off the place of a corner, or the height of a block under a wheel, may be.
inline constexpr double ruler_within_mm = 1.0;

/// What a weighed vehicle's readings are worth. The vehicle is solved again with each reading, place and height off by
/// what it may be off, one at a time.
/// @pre model.weighed is not empty and `solution` is its solution
Weighing weighing_report(const Model& model, const Solution& solution);

/// `reading-doubtful` for each scale reading that can't be: under what its wheels and tyres weigh by themselves, or about ten
/// times more or less for each wheel than the others' median: within a factor of 2 of it, were a digit more or less.
std::vector<Finding> doubtful_readings(const Model& model);

/// Whether one was told. Then the masses are wrong, and nothing else can be said of heights that differ.
bool has_doubtful_reading(const Solution& solution);

/// `reading-doubtful`; `readings-disagree` where a reading and the computed load lie farther apart than errors explain; `weighed-together`
/// where one reading spans wheels that stand one behind the other at different corners.
std::vector<Finding> judge_weighing(const Model& model, const Solution& solution, const Weighing& weighing);

}  // namespace ridepitch
