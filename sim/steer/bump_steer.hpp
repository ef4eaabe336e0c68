#pragma once
// Bump steer: what a wheel's travel does to its toe, the drive held (docs/model-format.md, "Steering").

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "ride/solution.hpp"

namespace ridepitch {

struct BumpPoint {
  double travel_mm = 0;  ///< above full droop
  double toe_deg = 0;    ///< heading of `ahead` in vehicle axes less that at rest, the same lock; positive to the left
  double slope_deg_per_10mm = 0;  ///< of toe over travel
};

/// How a kingpin leans: its caster seen from the side, its inclination from the front (ISO 8855). It is fixed to the body that
/// carries the wheel, and leans as that turns.
struct KingpinLean {
  double caster_deg = 0;       ///< its top to the rear
  double inclination_deg = 0;  ///< its top inward
};

/// Toe over a wheel's travel, the linkage's other wheels held where they rest.
struct BumpCurve {
  double rest_slope_deg_per_10mm = 0;  ///< NaN beside a dead point of the tie rod, as all slopes
  double rest_travel_mm = 0;
  std::vector<BumpPoint> points;            ///< evenly spaced, droop to bump, as far as the tie rod reaches
  std::array<KingpinLean, 3> kingpin = {};  ///< at full droop, at rest, at full bump
  bool rod_ends_droop = false;              ///< the tie rod does not reach down to full droop: it would bind
  bool rod_ends_bump = false;               ///< nor up to full bump
};

/// Where the inner end of a tie rod can go, and what is then: modules on the grid of its body, heights in modules of vehicle z.
struct InnerEnd {
  Vec2 hole = Vec2::Zero();
  double height = 0;
  double rod_length = 0;          ///< modules, of its ends in space: what keeps the wheel as drawn
  double slope_deg_per_10mm = 0;  ///< at rest, the drive at 0
};

/// What would make the slope at rest zero.
///
/// The inner end I must lie in the plane through the outer ball P, perpendicular to the path of P as the wheel rises without
/// toe: (P - I) . P' = 0. In the front plane that is the line from the ball to the instant centre.
struct ZeroSlope {
  InnerEnd now;
  InnerEnd exact;                 ///< the point of that plane nearest to where the inner end is
  std::optional<InnerEnd> level;  ///< the nearest one at the same height; none where no other hole changes the slope
  std::optional<InnerEnd>
      upright;    ///< in the same hole, at another height; none where height does not change the slope
  InnerEnd hole;  ///< whole modules along the grid and half ones in height from where it is: the nearest to `exact`
};

/// Of one wheel of a top linkage.
struct BumpSteer {
  int wheel = 0;               ///< of the top linkage
  std::string same_as;         ///< "front left/hub"; empty: none is named
  std::string rod;             ///< the tie rod; empty: the drive itself turns the knuckle, or nothing holds it
  bool heights_given = false;  ///< false: both ends of the rod are taken in the plane of the top linkage
  double toe_deg = 0;          ///< static: heading of `ahead` as drawn
  /// Drive at 0. None where there is no such thing: no `same_as`, a wheel that is fixed or can't rise alone (a walking
  /// beam), no kingpin, no tie rod.
  std::optional<BumpCurve> straight;
  std::array<std::optional<BumpCurve>, 2> lock;  ///< at the drive's least and greatest value
  std::optional<ZeroSlope> zero;                 ///< none where the rod's inner end is on another knuckle
  bool dead_point = false;  ///< at rest, the drive at 0, its rod and steering arm are in one line: slopes there are NaN
};

/// Bump steer of every wheel of a top linkage, in file order.
///
/// @param solution  of the model at rest, with curves
/// @param corner    index of the corner that has the top linkage
/// @param locks     poses of the top linkage's bodies at its drive's least and greatest value, the chassis first; empty
///                  where there is no drive
std::vector<BumpSteer> bump_steer(const Model& model, const Solution& solution, int corner,
                                  const std::array<std::vector<Pose>, 2>& locks);

}  // namespace ridepitch
