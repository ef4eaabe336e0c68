#pragma once
// Raising one wheel, the others held, until something ends it; and its travel from one end to the other.

#include <functional>
#include <string>
#include <vector>

#include "linkage/follow.hpp"
#include "ride/hold.hpp"

namespace ridepitch {

/// Where a wheel's travel ends.
struct SweepEnd {
  Eigen::VectorXd q;
  double height_mm = 0;            ///< v of its centre there
  std::string name;                ///< "main solid", "strap max", "dead point"; empty: no end was met
  std::vector<std::string> links;  ///< at a dead point: the rods and bodies that became collinear
};

/// One wheel moved up or down by continuation, inner freedoms at least energy, from a configuration that satisfies
/// the ties. Ends exactly (1e-10 mm) where a spring goes solid, a limit, slide or turn stop is met, a captive coil
/// without inner freedom is drawn out, or the linkage cannot follow any more.
/// @param wheel      index into held.wheels
/// @param direction  +1 up, -1 down
SweepEnd sweep_to_end(const HeldMechanism& held, int wheel, const Eigen::VectorXd& from, int direction);

/// Follows one held wheel's height, inner freedoms at least energy, and knows what the linkage does there.
struct WheelFollower {
  const HeldMechanism* held = nullptr;  ///< must outlive it
  int wheel = 0;                        ///< index into held->wheels
  Follower path;                        ///< its s is the height of the wheel's centre [mm], its heading dq/dz
  HeldWorkspace workspace;
  HeldRates rates;  ///< of the place last read off
};

WheelFollower follow_wheel(const HeldMechanism& held, int wheel, const Eigen::VectorXd& from);

/// Works out loads, rates and heading where it is.
void read_off(WheelFollower& follower);

/// Of the place last read off.
double load_n(const WheelFollower& follower);
double rate_n_per_mm(const WheelFollower& follower);

/// Reads off evenly spaced places from the height of `low` to that of `high`, both included.
/// @param low, high  configurations on one path of the wheel
/// @param visit      called at each place, in order from low to high
void sample_travel(const HeldMechanism& held, int wheel, const Eigen::VectorXd& low, const SweepEnd& high, int points,
                   const std::function<void(const WheelFollower&)>& visit);

/// The configuration with that wheel at a height, from one near by on the same path. @returns false if there is none
bool place_wheel(const HeldMechanism& held, int wheel, double height_mm, Eigen::VectorXd& q);

}  // namespace ridepitch
