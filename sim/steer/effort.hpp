#pragma once
// What it takes to turn a standing wheel about its kingpin: the tyre scrubs over the ground.

namespace ridepitch {

/// A wheel's contact as its kingpin sees it.
struct Scrub {
  double load_n = 0;
  double friction = 0;   ///< of tyre on ground
  double width_mm = 0;   ///< of the tyre; 0: a point
  double beside_mm = 0;  ///< from the kingpin's foot to the contact, along the wheel's axis
  double before_mm = 0;  ///< the same perpendicular to it
};

/// Torque about the kingpin [N mm] that turns a wheel which stands and does not roll, its load even along a line across
/// the tyre's width: friction times the load times the mean distance from the kingpin's foot,
///
///     M = mu W / b  integral over the width b of  sqrt((beside + y)^2 + before^2) dy
///
/// which is mu W e for a point at e. An estimate: a wheel that is free to roll takes less.
double scrub_torque_n_mm(const Scrub& scrub);

}  // namespace ridepitch
