#pragma once
// Knuckles in three dimensions: what the kingpins of a top linkage leave free, and the tie rods hold.
//
// The top linkage is drawn with the vehicle at rest and its drive at 0, in the plane z of its corner's place. A knuckle is a
// body that carries a steered wheel and turns about a hole of the chassis; the kingpin goes through that hole, in that
// plane, and rides on the body of the sprung linkage that carries the same wheel.
//
// Letters: O  the kingpin's point, a  its direction, P  the tie rod's ball on the knuckle, r = P - O: as drawn;
// I  the rod's other end, brought back to where the knuckle's carrier has taken it from, d = I - O;  L  the rod's length.
// The knuckle turned by psi about a has its ball at O + r cos psi + a x r sin psi + a (a.r)(1 - cos psi) (Rodrigues), so
//
//     |ball - I| = L   <=>   A cos psi + B sin psi = C
//     A = d.r - (a.d)(a.r),  B = d.(a x r),  C = (r.r + d.d - L^2)/2 - (a.d)(a.r)
//
// Of its two solutions the one as drawn has B of the same sign as the slope B cos psi - A sin psi; that sign only changes
// where rod, ball and kingpin are in line, so the solution is followed without steps.

#include <optional>
#include <string>
#include <vector>

#include "model/model.hpp"
#include "ride/solution.hpp"
#include "steer/carry.hpp"

namespace ridepitch {

/// The rod that holds a knuckle, from its ball on the knuckle to its inner end.
struct TieRod {
  int rod = 0;                  ///< index into Linkage::rods
  Vec3 ball_mm = Vec3::Zero();  ///< P
  HoleRef inner;                ///< of the top linkage
  double inner_z_mm = 0;
  int inner_knuckle = -1;        ///< the inner end is on that knuckle, as drawn at `inner_mm`; -1: on another body
  Vec3 inner_mm = Vec3::Zero();  ///< as drawn
  double length_mm = 0;          ///< of the ends as drawn, heights included
  double side = 1;               ///< sign of B
  bool heights_given = false;    ///< false: both ends are taken in the plane of the top linkage
};

/// One for each wheel of a top linkage that has a kingpin.
struct Knuckle {
  int wheel = 0;  ///< of the top linkage
  int body = 0;   ///< of the top linkage
  std::optional<WheelRef> same_as;
  Vec3 pin_mm = Vec3::Zero();  ///< O
  Vec3 axis = Vec3::UnitZ();   ///< a, upwards, unit
  Vec3 ahead = Vec3::UnitX();  ///< as drawn
  std::optional<TieRod> tie;
  bool driven = false;  ///< the drive itself turns it
  bool in_line =
      false;  ///< a rod that would hold it lies in one plane with its kingpin, a dead point: `tie` is another one
};

/// A top linkage in three dimensions. Knuckles that hold each other by a rod stand after what holds them.
struct KnuckleSet {
  const Model* model = nullptr;
  int corner = 0;
  std::vector<Knuckle> knuckles;
};

/// Kingpins lean by `king_deg`: caster backwards at the top seen from the side, inclination inwards at the top seen from the
/// front; a wheel at y = 0 counts as a left one.
/// @param drawn  poses of the top linkage with its drive at 0, the chassis first (Solution::corners)
KnuckleSet knuckle_set(const Model& model, int corner, const std::vector<Pose>& drawn);

/// Where a wheel's `ahead` points, its body turned by an angle in the top linkage: vehicle axes.
Vec3 drawn_ahead(const Corner& corner, const Wheel& wheel, double theta_rad);

/// The hole of the chassis that a body turns about.
std::optional<HoleRef> kingpin_hole(const Linkage& linkage, int body);

/// The wheel of "CORNER/WHEEL".
std::optional<WheelRef> find_wheel(const Model& model, const std::string& name);

/// How far a knuckle has turned about its kingpin since drawn.
struct KnuckleTurn {
  double psi_rad = 0;
  double psi_rad_per_mm = 0;  ///< NaN beside a dead point: knuckle_rate
};

/// How fast a knuckle turns about its kingpin so that its tie rod keeps its length, for an end that would stretch it at a
/// rate of `stretch` times its length:  -stretch / (w . across). NaN where rod and arm are within a thousandth of one line:
/// what is told there hangs on digits that neither a double nor a hole has.
/// @param w       along the rod, from its inner end to its ball
/// @param across  motion of the ball for one radian of the knuckle
double knuckle_rate(const Vec3& w, const Vec3& across, double stretch);

/// Turns of all knuckles, the drive held; none where a rod cannot reach, or nothing holds a knuckle.
/// @param poses    of the top linkage at a value of its drive, the chassis first; only its bodies that are no knuckles count
/// @param carries  one for each knuckle
std::vector<std::optional<KnuckleTurn>> turn_knuckles(const KnuckleSet& set, const std::vector<Pose>& poses,
                                                      const std::vector<Carry>& carries);

/// Where the inner end of a tie rod is: on its body, or on the knuckle that it is on, of which a turn must be known.
Vec3 tie_rod_inner_mm(const KnuckleSet& set, const TieRod& tie, const std::vector<Pose>& poses,
                      const std::vector<Carry>& carries, const std::vector<std::optional<KnuckleTurn>>& turns);

/// One carry for each knuckle while one wheel rises: those on the body that carries it go along, the others stay at rest.
std::vector<Carry> carries_of(const Model& model, const KnuckleSet& set, WheelRef rising, const Carry& carry);

/// Where a point of a knuckle is. @param x_mm  as drawn
Vec3 on_knuckle(const Knuckle& knuckle, const Carry& carry, double psi_rad, const Vec3& x_mm);

/// Where something drawn along `direction` on a knuckle points.
Vec3 turned_with(const Knuckle& knuckle, const Carry& carry, double psi_rad, const Vec3& direction);

/// The axis of a wheel at rest, to its left: perpendicular to where it points, leaning with its camber.
/// @param y_mm    of its centre: tells its side
/// @param sprung  null: it stands upright
Vec3 axis_at_rest(double y_mm, const Vec3& ahead, const WheelResult* sprung);

/// Heading of a direction, positive to the left [rad].
double heading_rad(const Vec3& direction);

/// How fast the heading of a direction that moves with a knuckle changes: `still` while the knuckle does not turn about its
/// kingpin [rad/mm], `by_turn` for each radian that it does.
struct HeadingSlope {
  double still = 0, by_turn = 0;
};
/// @param direction  as it is now
HeadingSlope heading_slope(const Knuckle& knuckle, const Carry& carry, const Vec3& direction);

}  // namespace ridepitch
