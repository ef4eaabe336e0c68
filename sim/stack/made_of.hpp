#pragma once
// What a body is made of: catalogue parts, where each lies on the body's grid, and with that the holes that it has.
//
// Rules: docs/model-format.md, "What a part is made of".

#include <optional>
#include <vector>

#include "model/model.hpp"

namespace ridepitch {

/// A hole of a body is met where a hole of its parts is off by no more [modules].
inline constexpr double hole_fit_modules = 0.02;

/// A part as it lies on its body's grid.
struct LaidPart {
  PlacedPart placed;
  const Piece* piece = nullptr;  ///< of the catalogue; says where its holes are
  std::vector<Vec2> holes_mm;    ///< in the order of its outline, on the body's grid
};

/// What a body is made of.
struct MadeOf {
  std::vector<LaidPart> parts;  ///< in file order; none: the body is free
  /// It has no part, or one that does not say where its holes are: a hole may be anywhere.
  bool free() const { return parts.empty(); }
};

/// Lays a body out from its parts. Those of `built` lie where the file says. A single `part` is shifted by whole and half
/// modules, turned by quarters and turned over, so that it meets the most holes of the body (to 0.02 module); of equals
/// the shortest shift, the least turn, not over, the smaller shift in u, then in v.
/// @param catalogue  must outlive the result
MadeOf made_of(const Catalogue& catalogue, double module_mm, const Body& body);

/// A hole that a body's parts have.
struct FoundHole {
  Vec2 at_mm = Vec2::Zero();  ///< on the body's grid
  const LaidPart* part = nullptr;
  double off_mm = 0;   ///< from the place that was asked for
  bool cross = false;  ///< every part that has a hole there has a cross hole
};

/// The hole of a body's parts nearest to a place on the body's grid; of equals the first. None where the body is free.
std::optional<FoundHole> nearest_hole(const MadeOf& made, double module_mm, const Vec2& at_mm);

/// Whether a hole lies where it is asked for: to 0.02 module.
bool meets(const FoundHole& hole, double module_mm);

/// All places where a body's parts have a hole, each once, by part, in the order of the outline.
std::vector<Vec2> hole_places(const MadeOf& made, double module_mm);

/// The places that may be tried for a hole of a body: where its parts have one, as they lie now. None where the body is
/// free: then it is up to who asks.
std::optional<std::vector<Vec2>> places_to_try(const Model& model, int linkage, int body);

/// A line without the points that lie within a straight run of it: the same pieces, and fewer.
std::vector<Vec2> straightened(const std::vector<Vec2>& line);

/// The lines that a body's beams run through, on its own grid, straightened: its `shape`; else the outlines of its parts;
/// else, of a free body, all its holes in order. Of a free chassis without a shape: none.
std::vector<std::vector<Vec2>> outlines(const Catalogue& catalogue, double module_mm, const Linkage& linkage, int body);

}  // namespace ridepitch
