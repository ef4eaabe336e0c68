#pragma once
// A linkage without its springs, laid down with its wheels where they are wanted: where its bodies then lie, and how they move
// as each wheel rises.

#include <optional>
#include <string>
#include <vector>

#include "linkage/two_bar.hpp"
#include "model/change.hpp"
#include "ride/solution.hpp"

namespace ridepitch {

/// What is wanted of a wheel is told by its rise: linear in where its centre lies in the plane.
struct WheelRise {
  int wheel = 0;  ///< of the linkage
  double at_origin_mm = 0;
  Vec2 by_mm = Vec2::UnitY();
};

struct Skeleton {
  Linkage linkage;  ///< with the holes and rods of the candidate at hand
  TwoBarPlan plan;
  Eigen::VectorXd q;           ///< as the linkage stands in the model
  std::vector<double> inputs;  ///< there
  unsigned sides = 0;          ///< there
  bool wheels_lead = false;    ///< every wheel is on a body that an input moves, whatever the groups of two bars do
};

/// @returns none where it does not fall apart into groups of two bars, or has other freedoms than its wheels'
std::optional<Skeleton> make_skeleton(const Linkage& linkage, const std::vector<Pose>& as_it_stands,
                                      std::string& why_not);

/// A body of a linkage that is laid down: its grid's origin, its turn, and what they change for each mm that a wheel rises.
struct LaidBody {
  Vec2 at = Vec2::Zero();
  Turn turn;
  std::vector<Vec2> at_by_rise;      ///< [wheels]
  std::vector<double> turn_by_rise;  ///< [wheels] rad/mm
};

struct Laid {
  std::vector<double> inputs;
  std::vector<LaidBody> bodies;  ///< the chassis first
};

/// Lays it down with every wheel at a rise.
/// @param from    inputs from which Newton's method begins
/// @param rises   [wheels], and `at_mm` what they are to be
/// @returns false where its bodies do not reach, or the wheels do not get there
bool lay_at(const Skeleton& skeleton, unsigned sides, const std::vector<double>& from,
            const std::vector<WheelRise>& rises, const std::vector<double>& at_mm, Laid& out);

/// Whether lay_at could, without the derivatives.
bool reaches(const Skeleton& skeleton, unsigned sides, const std::vector<double>& from,
             const std::vector<WheelRise>& rises, const std::vector<double>& at_mm);

/// Where a point of a body is, and how it moves for each mm that a wheel rises.
struct LaidPoint {
  Vec2 at = Vec2::Zero(), by_rise = Vec2::Zero();
};
inline LaidPoint point_of(const LaidBody& on, const Vec2& p_B, std::size_t wheel) {
  const Vec2 arm(on.turn.cos * p_B.x() - on.turn.sin * p_B.y(), on.turn.sin * p_B.x() + on.turn.cos * p_B.y());
  return {on.at + arm, on.at_by_rise[wheel] + on.turn_by_rise[wheel] * Vec2(-arm.y(), arm.x())};
}

}  // namespace ridepitch
