#pragma once
// What lies across the plane of a linkage: its bodies, rods and springs, the tyres beside it and the boxes to keep out of, as
// round-ended pieces in the plane and as intervals across it; and the joints that axles pass through.
//
// Across is counted in slices of one module: slice k runs from k - 0.5 to k + 0.5, slice 0 is the linkage's own plane.
// Positive is outward, away from the vehicle's middle: by the sign of the corner's y for linkages of the side plane, of its x
// for those of the front plane (0 counts as positive); for those of the top plane it is up.

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "model/model.hpp"
#include "ride/solution.hpp"

namespace ridepitch {

/// A point that rides on a body. `joint`: the joint that it lies in, an index into StackParts::joints; -1: none.
struct RidingPoint {
  int body = 0;
  Vec2 p_B = Vec2::Zero();
  int joint = -1;
};

/// A round-ended piece between two points; of a rod or spring they ride on two bodies.
struct Capsule {
  RidingPoint a, b;
  double radius_mm = 0;
};

/// A rectangle along the axes of the chassis grid [mm].
struct PlaneBox {
  Vec2 low = Vec2::Zero(), high = Vec2::Zero();
};

/// What something is in the plane: pieces, or a box that stands still.
struct Silhouette {
  std::vector<Capsule> pieces;
  std::optional<PlaneBox> box;
};

/// An interval across [modules]. One without a width is thin as paper.
struct Across {
  double from = -0.5, to = 0.5;
};

/// Whether two intervals have more than a face in common; a thin one lies in whatever it is strictly within.
bool overlap(const Across& one, const Across& other);

Across shifted(const Across& wall, int slices);

/// Whether any two walls of two parts overlap. @param slice  of the one's first slice, and of the other's
bool overlap(const std::vector<Across>& walls, int slice, const std::vector<Across>& other, int other_slice);

/// What of a part is alike across: a silhouette, and where it stands while the part's first slice is 0.
struct StackSheet {
  Silhouette silhouette;
  std::vector<Across> walls;
};

enum class StackKind { body, rod, spring, tyre, keepout };

struct StackItem {
  StackKind kind = StackKind::body;
  int index = 0;     ///< of the body, rod, spring, wheel or keepout
  std::string name;  ///< "rod 'pushrod'"
  std::vector<StackSheet> sheets;
  std::optional<int>
      layer;  ///< its first slice as the file gives it; of tyres and keepouts 0: their walls are where they stand
  bool carries_wheel = false;
  std::vector<int> corners;  ///< a keepout stands beside these only; empty: all that use the linkage

  bool is_part() const { return kind == StackKind::body || kind == StackKind::rod || kind == StackKind::spring; }
};

/// Parts that one pin or axle goes through: bodies on a pin, a rod's or spring's end on a hole, a wheel on its body.
struct StackJoint {
  std::string name;        ///< "arm.push"
  Silhouette point;        ///< an axle's radius about it
  std::vector<int> items;  ///< that it joins, indices into StackParts::items
  int wheel = -1;          ///< the axle of that wheel
};

struct StackParts {
  std::vector<StackItem> items;  ///< bodies, rods, springs in file order; then tyres, keepouts
  std::vector<StackJoint> joints;
};

/// Radius of the axle that must pass: half the usual 4.8 mm (invented, as the parts of the demos are).
inline constexpr double axle_radius_mm = 2.4;

/// Half the width of a beam: one module less 0.2 mm (docs/model-format.md, "Slices across the plane").
double beam_radius_mm(double module_mm);

/// Distance of a point from the straight piece between a and b.
double point_to_segment(const Vec2& p, const Vec2& a, const Vec2& b);

/// The direction across a corner's linkage that counts as outward, vehicle axes.
Vec3 outward(const Corner& corner, Plane plane);

/// The parts of a linkage and their joints: every rod, every spring that acts along a line, every body but a chassis that is
/// free and has no shape. A rod or spring whose ends lie apart across the plane takes as many slices more.
/// @param catalogue  names the parts of bodies
StackParts stack_parts(const Catalogue& catalogue, double module_mm, const Linkage& linkage);

/// The same with what stands beside it on the vehicle: the tyres of a linkage of the side plane, and the keep-outs beside each
/// of its corners. Rods of a top linkage lie at the heights that the file gives.
StackParts stack_parts(const Model& model, int linkage);

}  // namespace ridepitch
