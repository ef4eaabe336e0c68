#pragma once
// Two models side by side: what differs, and does the second one still stand and ride like the first?

#include <limits>
#include <optional>
#include <string>
#include <vector>

#include "model/model.hpp"
#include "model/problem.hpp"
#include "ride/solution.hpp"
#include "steer/quantity_readers.hpp"
#include "swap/keep.hpp"

namespace ridepitch {

/// One number, or word, of the two models.
struct Difference {
  std::string where;     ///< "" for the vehicle, "rear left", "rear left/hub"; by the names of the first model
  std::string quantity;  ///< a name of words/quantity.hpp; or, in words: "state", "corner", "wheel", "hole", "part",
                         ///< "rod", "height", "tyre", "spring", "bar", "finding", "steering"
  std::optional<double> before = {}, after = {};
  std::string before_words = {}, after_words = {};
  std::optional<double> tolerance = {};         ///< how far it may be off, in its own unit; none: told, not judged
  std::optional<double> least = {}, most = {};  ///< what `after` may be
  bool within = true;
  int corner = -1;  ///< of the first model; -1: the vehicle, or a corner that only the second has
  std::optional<double> expected_on_ruler_mm = {};  ///< of a ride height that the first model's [[measured]] has
};

/// What a changed spring needs to give its wheel the same rate under the same load, worked out by spring_needs.
struct SpringNeed {
  std::string wheel;   ///< "rear left/hub"
  std::string spring;  ///< "main"
  int count = 1;       ///< of the second model
  std::string part;    ///< empty where its keys are written in place
  double motion_ratio_before = 0;
  double motion_ratio_needed = 0;
  std::optional<double> motion_ratio_after;  ///< none where the second model does not stand
  double force_n = 0;                        ///< that each of them then bears at rest
  std::optional<double> length_mm;           ///< at which it bears that; none: it can't
  double least_n = 0, most_n = 0;  ///< what it can bear: from its preload to where it goes solid (a band: no most)
  std::optional<double> bump_travel_mm;  ///< what is then left until it is solid, at that same ratio; none for a band
};

struct Comparison {
  bool holds = false;
  std::string verdict;  ///< "stands the same"; "stands 3.2 mm lower at the rear and rides 30 % softer there"
  std::vector<Difference> differences;
  std::vector<SpringNeed> needs;
  std::vector<Finding> new_findings;  ///< of level problem, which the first model does not have

  /// The greatest share of its tolerance that any difference takes: at most 1 where the verdict holds, and the less
  /// the better; infinite where there is no number to it.
  double worst = std::numeric_limits<double>::infinity();
};

/// Compares two solved models, corner by corner and wheel by wheel, matched by name.
///
/// The verdict fails with any number that is not within its tolerance, and with: a corner or wheel that the second model
/// lacks; a wheel that rode before and now hangs, or stands on a stop; a steering that no longer works; a finding of level
/// problem that is new. What only the second model has, and holes, rods, springs and bars that differ or are gone, are told.
/// @param was, is      the first and the second model; steering is compared where it was worked out for both
/// @param not_steered  why that of the second could not be worked out; empty: it could, or nothing is steered
Comparison compare(const Results& was, const Results& is, const Keep& keep = {}, const std::string& not_steered = "");

/// The comparison with a model that has no solution. What its springs need is told all the same.
///
/// @param why  the problems that solve() gave, one at least
Comparison compare_unsolved(const Model& before, const Solution& solved_before, const Model& after,
                            const std::vector<Problem>& why);

/// For every wheel and every spring that moves it and that is another one in the second model:
///
///     m' = m sqrt(k / k')          the motion ratio that it needs; k, k' of all side by side, where each rests
///     F' = F m / m'                what all of them then bear
///
/// A wheel's load is P = F m and its rate K = k m^2 + F dm/dz. If the lever keeps its shape, so that m' and dm'/dz are m
/// and dm/dz times one factor, then F' m' = P makes the second term of K the same, and k' m'^2 = k m^2 the first.
/// Derived here; without the second term it is the well-known k m^2.
///
/// @param solved_after  null where the second model has no solution
std::vector<SpringNeed> spring_needs(const Model& before, const Solution& solved_before, const Model& after,
                                     const Solution* solved_after);

/// "stands 3.2 mm lower at the rear and rides 30 % softer there": its differences that are not within, the gravest
/// kind first; or "stands the same", and how closely.
std::string verdict_words(const Model& before, const Comparison& comparison);

}  // namespace ridepitch
