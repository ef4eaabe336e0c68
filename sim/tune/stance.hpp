#pragma once
// Where every wheel must be, and what it must carry, if a vehicle is to stand as it is wanted to. docs/theory.md, "The search",
// derives it.

#include <array>
#include <string>
#include <vector>

#include "model/geometry.hpp"
#include "tune/aims.hpp"
#include "tune/bounds.hpp"
#include "tune/space.hpp"

namespace ridepitch {

/// One wheel in the wanted stance.
///
/// Its rise is how high its centre lies, the vehicle standing exactly as wanted, above where its tyre would touch the ground
/// [mm]: 0 where it belongs, more where it lies higher on the vehicle. It is linear in where the centre is in the plane.
struct WheelInStance {
  int corner = 0, wheel = 0;
  double rise_mm = 0;               ///< of the origin of the chassis grid
  Vec2 rise_by_mm = Vec2::UnitY();  ///< for each mm along u and v
  Vec3 height_by = Vec3::Zero();    ///< of its centre, by the vehicle's height [mm/mm], pitch and roll [mm/rad]
  double within_mm = 0;             ///< the rise is no farther from 0 than this in any stance that is wanted
  std::array<double, 2> load_n = {-1e30, 1e30};         ///< least and greatest that it can then carry
  std::array<double, 2> rate_n_per_mm = {-1e30, 1e30};  ///< that is wanted or needed
  double bump_mm = 0;                                   ///< bump travel that is needed; 0: none
};

/// Where a wheel's contact can be while its rise is within its bounds: ahead and to the left, level [mm].
struct ContactRange {
  std::array<double, 2> ahead_mm = {0, 0}, left_mm = {0, 0};
};

struct WantedStance {
  double height_mm = 0, pitch_rad = 0, roll_rad = 0;  ///< of the vehicle's origin and axes
  std::vector<WheelInStance> wheels;                  ///< of all corners that stand on the ground, in file order
  std::vector<BoundedSum> bounds;                     ///< by how much height, pitch and roll may differ [mm, rad]
  bool upright = false;                               ///< left and right are alike: it can't lean to a side
};

/// The stance that heights and pitch among the aims leave, if they bound it; rates and travel that are asked go with it.
/// @param as_it_stands  the model of the space, solved
/// @param why_not       says what leaves the stance open
std::optional<WantedStance> wanted_stance(const Space& space, const Aims& aims, const Solution& as_it_stands,
                                          std::string& why_not);

/// Where a wheel's contact is, its centre at a place of its linkage's plane: ahead and to the left, level [mm].
Vec2 contact_in(const WantedStance& stance, const Model& model, const WheelInStance& wheel, const Vec2& centre_C);

/// Fills in what each wheel can carry: balance of the sprung mass over contacts that lie within their ranges, no wheel
/// pulling, each within the loads that it has already. Widens the rises by what the tyres give under those loads.
/// @param contacts  [wheels of the stance]
void set_loads(WantedStance& stance, const Model& model, const Solution& as_it_stands,
               const std::vector<ContactRange>& contacts);

}  // namespace ridepitch
