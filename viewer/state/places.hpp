#pragma once
// Snapping to the grid of holes, and the places of that grid at which a hole still lets the linkage go together.

#include <vector>

#include "model/model.hpp"

namespace ridepitch::view {

/// The nearest place of a grid with that pitch.
Vec2 snapped(const Vec2& p_mm, double step_mm);

/// Where a hole goes that is dragged there: to the nearest hole of its body's parts, or of a free body onto the grid.
Vec2 snapped(const Model& model, int linkage, int body, const Vec2& p_B_mm, double step_mm);

enum class Fit { untried, fits, fits_not };

struct TriedPlace {
  Vec2 at_B_mm = Vec2::Zero();
  Fit fit = Fit::untried;
};

/// Places around a hole, nearest first. A few are tried at a time, so that the window stays responsive.
struct HolePlaces {
  int linkage = 0, body = 0, hole = 0;
  std::vector<TriedPlace> places;
  std::size_t tried = 0;  ///< of `places`, from the front
};

/// All places within `reach` modules of the hole, left and right, up and down: the holes of its body's parts, or of a free
/// body those of the grid.
HolePlaces places_around(const Model& model, int linkage, int body, int hole, int reach_modules, double step_mm);

/// Assembles the linkage with the hole at the next places, for about some seconds, at least one place.
/// @returns whether some are left
bool try_places(const Model& model, HolePlaces& places, double seconds);

}  // namespace ridepitch::view
