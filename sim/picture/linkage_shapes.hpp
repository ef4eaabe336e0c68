#pragma once
// The linkage of one corner as shapes of its plane, in mm of the chassis grid, as the file draws it.

#include <string>
#include <vector>

#include "model/model.hpp"
#include "picture/shapes.hpp"
#include "ride/solution.hpp"
#include "spring/spring_traits.hpp"

namespace ridepitch {

/// Where a hole is in the chassis grid [mm]. @param poses  of all bodies, the chassis first
Vec2 hole_point(const Linkage& linkage, const std::vector<Pose>& poses, HoleRef ref);

/// Its wheels and parts, the lowest first.
std::vector<Shape> linkage_shapes(const Model& model, const Linkage& linkage, const std::vector<Pose>& poses);

/// The same in outline, as it was before: all of Role::ghost.
std::vector<Shape> linkage_ghost(const Model& model, const Linkage& linkage, const std::vector<Pose>& poses);

/// Dots of the grid of holes in a box and some modules around it; the grid's origin is a larger one. None where there
/// would be more than 100 000.
std::vector<Shape> grid_shapes(double module_mm, const Box& box, int around_modules);

/// The floor, hatched, as long as a box is wide; none where the linkage is seen from above or has no wheel.
/// @param vehicle  at rest: where the height of a point is 0; null: level under the lowest tyre
std::vector<Shape> ground_shapes(const Model& model, int corner, const std::vector<Pose>& poses,
                                 const VehicleResult* vehicle, const Box& box);

/// The corner, its linkage, from where it is seen, the distance of the dots.
std::string linkage_caption(const Model& model, int corner);

/// Outline of a tyre seen from the front or above. @param radius, half_width  from its centre, along and across it
std::vector<Vec2> tyre_outline(const Vec2& centre, const Vec2& radius, const Vec2& half_width);

/// A wheel from the side. @param rim  with the circle of its rim
void add_wheel_disc(std::vector<Shape>& shapes, const Vec2& centre, double radius_mm, Role role, double edge_px,
                    bool rim);

/// As most are, where a part's own width or diameter is unknown.
inline double drawn_width_mm(const Tyre& tyre) { return tyre.width_mm > 0 ? tyre.width_mm : 0.4 * tyre.diameter_mm; }
inline double drawn_diameter_mm(const SpringTraits& coil) { return coil.width_mm > 0 ? coil.width_mm : 14; }

}  // namespace ridepitch
