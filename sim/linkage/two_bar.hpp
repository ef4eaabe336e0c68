#pragma once
// Linkages that fall apart into two-bar groups: a point where two circles, or a line and a circle, meet, again and
// again. Their configurations are known in closed form, all of them: one for each choice of sides.

#include <array>
#include <optional>
#include <vector>

#include "linkage/mechanism.hpp"

namespace ridepitch {

/// Where a point may lie: at a distance from a known point, or along a line of the chassis.
struct Locus {
  bool line = false;
  BodyPoint centre = {};  ///< of the circle, on a body placed before
  double radius_mm = 0;
  Vec2 origin = Vec2::Zero();  ///< of the line, in C
  Vec2 along = Vec2::UnitX();

  // Where these numbers come from, so that they can be had for other holes and rods.
  HoleRef centre_hole = {};
  int rod = -1;                  ///< the radius is this rod's, in the plane; -1: the distance of `arm`
  std::array<HoleRef, 2> arm{};  ///< two holes of one body
  int slide = -1;                ///< of a line: whose, and
  HoleRef running = {};          ///< which point of its body runs along it
};

/// A body laid down once a point of it is found.
struct Laying {
  int body = 0;
  Vec2 found_B = Vec2::Zero();  ///< its point that lies where the loci meet
  bool keeps_angle = false;     ///< on a slide: its angle is given
  double angle_rad = 0;
  BodyPoint pinned_to = {};  ///< else: another point of it sits on this known one
  Vec2 pinned_B = Vec2::Zero();
  HoleRef found = {}, pinned = {}, known = {};  ///< the holes of found_B, pinned_B and pinned_to
};

/// One two-bar group: two loci meet in up to two points; a bit chooses the side.
struct TwoBarStep {
  Locus one, other;
  std::vector<Laying> lay;
};

/// A body that moves as it is told: turned about a known point [rad], or slid along a line [mm].
struct TwoBarInput {
  int body = 0;
  bool slides = false;
  BodyPoint pinned_to = {};
  Vec2 pinned_B = Vec2::Zero();
  Vec2 origin = Vec2::Zero(), along = Vec2::UnitX();
  double angle_rad = 0;             ///< of a sliding body
  bool driven = false;              ///< held at 0 by the linkage's drive: no freedom
  HoleRef pinned = {}, known = {};  ///< the holes of pinned_B and pinned_to
  int slide = -1;
};

struct TwoBarPlan {
  struct Move {
    bool is_input = false;
    int index = 0;
  };
  std::vector<TwoBarInput> inputs;
  std::vector<TwoBarStep> steps;
  std::vector<Move> order;  ///< inputs and steps as they follow from one another
};

/// How many inputs no drive holds.
int free_inputs(const TwoBarPlan& plan);

/// The plan of a linkage, if it has one.
std::optional<TwoBarPlan> plan_two_bars(const Mechanism& mechanism);

/// Sets a plan's numbers to those of a linkage of the same joints, of which other holes or rods may differ.
void renumber(TwoBarPlan& plan, const Linkage& linkage);

/// Lays one body down: its point p_B comes to p_C, and it is turned by theta [rad].
void put_body(Eigen::VectorXd& q, int body, double theta, const Vec2& p_B, const Vec2& p_C);

/// Lays all bodies down for given inputs (the free ones, in order) and sides (bit i: step i).
/// @returns false where two loci do not meet
bool lay_down(const TwoBarPlan& plan, const std::vector<double>& inputs, unsigned sides, Eigen::VectorXd& q);

}  // namespace ridepitch
