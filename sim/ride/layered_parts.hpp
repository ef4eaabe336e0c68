#pragma once
// Parts of a linkage that lie in a named slice across its plane, as round-ended pieces, and the gaps between them.
// docs/model-format.md, "A linkage", says what has which shape.

#include <string>
#include <vector>

#include "model/model.hpp"
#include "ride/solution.hpp"

namespace ridepitch {

/// One round-ended piece of a part, between two holes.
struct Segment {
  HoleRef a, b;
  double radius_mm = 0;
};

/// A body, rod or spring that names a layer.
struct LayeredPart {
  std::string name;  ///< "body 'rocker'"
  int layer = 0;
  std::vector<Segment> pieces;
};

/// Half the width of a beam: one module less 0.2 mm (docs/model-format.md, "A linkage").
double beam_radius_mm(double module_mm);

/// The chains of holes that a body's beams run through: its shape, or all its holes; the chassis has a shape or no beams.
std::vector<std::vector<int>> beam_chains(const Linkage& linkage, int body);

/// Distance of a point from the straight piece between a and b.
double point_to_segment(const Vec2& p, const Vec2& a, const Vec2& b);

/// The parts that name a layer, in file order; the chassis only where it has a shape.
std::vector<LayeredPart> layered_parts(const Linkage& linkage, double module_mm);

/// Gap between two parts [mm], negative where they overlap; pieces that meet at a hole they share are left out.
/// @param moving  where the moving bodies are, in file order
double part_gap(const Linkage& linkage, const LayeredPart& one, const LayeredPart& other,
                const std::vector<Pose>& moving);

/// Where a hole is, in the chassis grid.
Vec2 hole_place(const Linkage& linkage, HoleRef ref, const std::vector<Pose>& moving);

}  // namespace ridepitch
