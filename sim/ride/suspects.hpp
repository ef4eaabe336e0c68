#pragma once
// What of a model could be off from the real thing, and by how much it usually is: by its [spread], or by what its scale
// readings leave open where it was weighed.

#include <functional>
#include <string>
#include <vector>

#include "model/model.hpp"
#include "ride/solution.hpp"

namespace ridepitch {

/// A value of a model that could be off by some amount.
struct Suspect {
  std::string code, what, unit;                     ///< as of a LikelyCause
  double deviation = 1;                             ///< one standard deviation of that amount
  std::function<Model(double amount)> off_by;       ///< the model with it
  std::function<std::string(double amount)> needs;  ///< the amount in words
};

/// Rate and free length of every kind of spring, mass and its centre (loads on the bench), every kind of tyre.
///
/// Springs of one part are taken to be off together, a rate by the root of the sum of the squares of batch and part: the
/// most that a few of them are. Those of `corners_alone` may also be off there only, by what they scatter from part to part.
/// The masses of a budget are off each by itself, and so is the place of each.
/// @param model     must outlive the result
/// @param solution  with its `weighing` where the model is weighed
std::vector<Suspect> suspects_of(const Model& model, const Solution& solution, const std::vector<int>& corners_alone);

}  // namespace ridepitch
