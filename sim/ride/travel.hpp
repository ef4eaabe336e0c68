#pragma once
// What a wheel does over its travel: its curve, its ends, the greatest load it can carry, the margins of its parts.

#include <optional>

#include "ride/droop.hpp"
#include "ride/margins.hpp"
#include "ride/solution.hpp"
#include "ride/sweep.hpp"

namespace ridepitch {

/// The travel of one wheel from its low end to full bump, the linkage's other wheels held.
struct Travel {
  HeldMechanism held;
  int held_wheel = 0;
  double droop_height_mm = 0;  ///< travel 0
  Eigen::VectorXd low;         ///< full droop (one wheel), or as low as it goes with the others held
  SweepEnd bump;
  Curve curve;                  ///< corner and wheel are the caller's to set
  Margins margins;              ///< least over the travel
  bool unbounded_load = false;  ///< the load grows without bound towards a dead point
};

/// The travel of a wheel whose linkage has no other: it hangs on the linkage alone, so corners share it.
Travel travel_alone(const Mechanism& mechanism, const Droop& droop, int points, const Friction& friction);

/// The travel of one wheel of several, the others held where they rest.
/// With a single wheel: its travel as seen from rest, where rest does not lie on the path from droop.
/// @param rest  the linkage's configuration at rest
Travel travel_from_rest(const Mechanism& mechanism, const Droop& droop, const Eigen::VectorXd& rest, int wheel,
                        int points, const Friction& friction);

/// Whether a configuration lies on the path from droop that a travel followed: past a dead point it does not, though
/// its wheel may stand at a height of that path.
bool on_path(const Travel& travel, const Eigen::VectorXd& q, double height_mm);

/// Greatest load from a height to full bump [N]; none where it grows without bound. Interior maxima are found exactly.
std::optional<double> bump_load(const Travel& travel, const Eigen::VectorXd& rest, double rest_height_mm);

/// The height from which a set-down just uses up the travel: what falls is held by the springs and friction.
///
///     W (H + T) = U + f T        U: energy of the springs from full droop to full bump;  T: that travel
///
/// f is the mean over T of the friction at the wheel.
/// @param load_n  W, what the wheel carries; > 0
/// Source: work and energy.
double set_down_height_mm(const Travel& travel, double load_n, const Friction& friction);

}  // namespace ridepitch
