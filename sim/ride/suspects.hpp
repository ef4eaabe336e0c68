#pragma once
// What of a model could be off from the real thing, and by how much it usually is.

#include <functional>
#include <string>
#include <vector>

#include "model/model.hpp"
#include "ride/solution.hpp"

namespace ridepitch {

/// A value of a model that could be off by some amount.
struct Suspect {
  std::string code, what, unit;                     ///< as of a LikelyCause
  double usual = 1;                                 ///< an amount that surprises nobody
  std::function<Model(double amount)> off_by;       ///< the model with it
  std::function<std::string(double amount)> needs;  ///< the amount in words
};

/// Rate and free length of every kind of spring, mass and its centre (loads on the bench), every kind of tyre.
/// @param model  must outlive the result
std::vector<Suspect> suspects_of(const Model& model, const Solution& solution);

}  // namespace ridepitch
