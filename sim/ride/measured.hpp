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

/// Half the width of the band of heights in which a corner's wheel can come to rest, to first order:
///
///     F = sum over springs of count friction_n |MR|  +  sum over pins of mu r P |d(theta_a - theta_b)/dz|
///     band = F / wheel rate
///
/// P is the pin's load, r its radius, z the wheel's travel; a pin of more than two bodies turns on its first.
///
/// @returns [mm]; none for a corner of several wheels, without a positive wheel rate or a curve about rest, or where the
///          model gives no friction (no friction_n, and not both pin_mu and pin_radius_mm)
/// Source: Coulomb friction; the moment mu r P of a dry journal bearing, e.g. Meriam and Kraige, Statics, ch. 6 (from memory).
std::optional<double> friction_band_mm(const Model& model, const Solution& solution, int corner);

/// Where a measured height differs: single causes that would explain at least half of what all of them differ by (sum of
/// squares), each with the amount that fits best, the vehicle solved again with it. Sorted by that amount over what is
/// usual for such a thing, so that the likeliest stands first; eight at most.
std::vector<LikelyCause> likely_causes(const Model& model, const Solution& solution,
                                       const std::vector<MeasuredHeight>& measured);

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
