#pragma once
// What of the body reaches the ground before a wheel's travel is used up.
//
// Letters: t  the share of its bump travel left at rest by which a wheel is raised;  c_i  the centres of the wheels that
// carry at rest, in vehicle axes;  H_i  their heights above the ground at rest, one loaded tyre radius (and the block under
// the tyre). The body lies on them at the height h, pitch p and roll r with the least
//
//     sum over i of (h - sin(p) x_i + cos(p) (sin(r) y_i + cos(r) z_i) - H_i)^2
//
// which is 0 at rest, where t = 0, and wherever the contacts lie in one plane. Angles are not taken as small.

#include <vector>

#include "model/model.hpp"
#include "ride/solution.hpp"

namespace ridepitch {

/// A clearance point that lies on the ground before the wheels of an axle, or of all axles, are at full bump.
struct Grounding {
  int point = 0;                 ///< index into Model::clearances
  std::vector<WheelRef> wheels;  ///< those that rise, in file order
  bool all_axles = false;        ///< no axle alone grounds it: all rise together
  double share = 0;              ///< t, where the point first comes to the height 0
  double travel_left_mm = 0;     ///< least over those wheels: (1 - t) times what each had at rest
  double of_mm = 0;              ///< what that wheel had
  double short_mm = 0;           ///< how much lower than the ground it would get by full bump
};

/// Points in file order; of each the axles from front to rear. An axle is all sprung linkages' wheels whose centres lie within a
/// module in x of the next one's. Its wheels rise along their curves; fixed wheels, walking beams and wheels at full bump stay
/// where they rest. Points under the ground at rest are left out: finding `grounded`. None in bench mode.
/// @param solution  of the model at rest, with curves
std::vector<Grounding> find_groundings(const Model& model, const Solution& solution);

/// Finding `grounds-before-bump` of each.
std::vector<Finding> judge_groundings(const Model& model, const Solution& solution,
                                      const std::vector<Grounding>& groundings);

}  // namespace ridepitch
