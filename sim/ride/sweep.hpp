#pragma once
// Raising one wheel, the others held, until something ends it; and the curve from one end to the other.

#include <string>
#include <vector>

#include "model/problem.hpp"
#include "ride/hold.hpp"
#include "ride/solution.hpp"

namespace ridepitch {

/// Where a wheel's way ends.
struct SweepEnd {
  Eigen::VectorXd q;
  double height_mm = 0;            ///< v of its centre there
  std::string name;                ///< "main solid", "strap max", "dead point"; empty: no end was met
  std::vector<std::string> links;  ///< at a dead point: the rods and bodies that went straight
};

/// One wheel moved up or down by continuation, inner freedoms at least energy, from a configuration that satisfies
/// the ties. Ends exactly (1e-10 mm) where a spring goes solid, a limit, slide or turn stop is met, a captive coil
/// without inner freedom is drawn out, or the linkage cannot follow any more.
/// @param wheel      index into held.wheels
/// @param direction  +1 up, -1 down
SweepEnd sweep_to_end(const HeldMechanism& held, int wheel, const Eigen::VectorXd& from, int direction);

/// Everything at one point of a way.
struct WayPoint {
  Eigen::VectorXd q;
  double height_mm = 0;
  double load_n = 0;
  double rate_n_per_mm = 0;
  Eigen::VectorXd motion;  ///< [coordinates] dq/dz
  bool finite = true;
};

/// Evenly spaced points from the height of `low` to that of `high`, both included.
/// @param low, high  configurations on one way of the wheel
/// @param visit      called with each point, in order from low to high; the point is only good until it returns
template <class Visit>
void walk_way(const HeldMechanism& held, int wheel, const Eigen::VectorXd& low, const SweepEnd& high, int points,
              Visit&& visit);

/// The configuration with that wheel at a height, from one near by on the same way. @returns false if there is none
bool place_wheel(const HeldMechanism& held, int wheel, double height_mm, Eigen::VectorXd& q);

/// One that goes along a way and remembers where it was. Copies cost; moves do not.
struct Follower {
  HeldMechanism held;
  int wheel = 0;
  HeldWorkspace room;
  HeldRates rates;
  Eigen::VectorXd q;
  double height_mm = 0;
  std::vector<int> carrying;   ///< stops that hold an inner freedom now
  bool heading_known = false;  ///< `heading` and `side` belong to q
  Eigen::VectorXd heading;     ///< dq/dz at q
  double side = 0;             ///< sign of the determinant of the ties at q: changes past a dead point
  bool has_past = false;
  Eigen::VectorXd past_q, past_heading;
  double past_height_mm = 0;
  Eigen::VectorXd predicted, trial;
};

Follower follow(const HeldMechanism& held, int wheel, const Eigen::VectorXd& from);

/// Moves on to a height. @returns false, and stays, where that cannot be done in one step
bool advance(Follower& follower, double height_mm);

/// Loads and rates where it is.
void read_off(Follower& follower, WayPoint& point);

template <class Visit>
void walk_way(const HeldMechanism& held, int wheel, const Eigen::VectorXd& low, const SweepEnd& high, int points,
              Visit&& visit) {
  Follower follower = follow(held, wheel, low);
  WayPoint point;
  const double start = follower.height_mm;
  for (int i = 0; i < points; ++i) {
    const double share = points > 1 ? static_cast<double>(i) / (points - 1) : 0;
    if (i + 1 == points && points > 1) {
      follower.q = high.q;  // the end itself, exactly
      follower.height_mm = high.height_mm;
      follower.heading_known = false;
      follower.has_past = false;
    } else if (i > 0) {
      // A stretch too long for one step is gone in halves.
      const double goal = start + share * (high.height_mm - start);
      for (int halving = 0; halving < 40 && !advance(follower, goal); ++halving)
        advance(follower, 0.5 * (follower.height_mm + goal));
      if (follower.height_mm != goal)
        for (int more = 0; more < 200 && follower.height_mm != goal; ++more)
          if (!advance(follower, goal) && !advance(follower, 0.5 * (follower.height_mm + goal))) break;
    }
    read_off(follower, point);
    visit(point);
  }
}

}  // namespace ridepitch
