#pragma once
// What a linkage does with its wheels held at given heights: rates, full bump, margins.

#include <memory>
#include <optional>
#include <string>

#include "assembly.hpp"

namespace ridepitch::oracle {

/// At a position, with the wheels of one corner held and inner freedoms following.
struct Rates {
  Matrix motion_ratio;  ///< [springs x sprung wheels] -dL/dv; of a torsion spring -d(angle)/dv [rad/mm]
  Matrix wheel_rate;    ///< [sprung wheels]^2 d(vertical force)/d(height) [N/mm]
  Matrix motion;        ///< [bodies' variables x sprung wheels] of the bodies, for each mm that a wheel rises
};

/// By central differences of re-solved positions, extrapolated to step 0 (Romberg).
///
/// @param x     bodies' variables at rest
/// @param kept  stops that hold an inner freedom there and stay shut; all others are left out
Rates rates_by_difference(const Rig& rig, const Vector& x, const std::vector<int>& kept);

/// A wheel raised from rest.
struct Bump {
  double v_mm = 0;  ///< where it ends
  std::string end;
  std::optional<double> load_n;  ///< greatest vertical force; none where it grows without bound
  bool folds = false;            ///< the load has a maximum before full bump
};

/// @param wheel  index into rig.sprung
/// @param kept   as above; along the path they may open, and a coil at its free length may hold an inner freedom
Bump full_bump(const Rig& rig, const Vector& x, int wheel, const std::vector<int>& kept);

/// One place of a wheel's way from full droop to full bump.
struct Place {
  double share = 0;    ///< of the way for which it stands; all together 1
  Vector x;            ///< bodies' variables
  Vector joint_force;  ///< the joints' multipliers, in their order
  Vector motion;       ///< of the bodies' variables, for each mm of the wheel
};

/// A wheel from full droop to full bump, the others held where they rest.
struct Stroke {
  double energy_n_mm = 0;  ///< that the springs take up on the way
  double length_mm = 0;
  std::vector<Place> places;
};

/// Empty where the way up ends at a dead point or nowhere. Parameters as above.
std::optional<Stroke> stroke(const Rig& rig, const Vector& x, int wheel, const std::vector<int>& kept);

struct Margins {
  std::optional<double> toggle_deg, coil_deg;
};

/// Of a linkage with one sprung wheel, over its travel from full droop to full bump.
Margins margins(const Rig& rig, const Vector& x, const std::vector<int>& kept);

}  // namespace ridepitch::oracle
