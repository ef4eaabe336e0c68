#pragma once
// Rises of a corner's wheels that its skeleton reaches, cut into windows over which loads bend little, and the places at which the
// corner is laid down for each.

#include <vector>

#include "tune/linkage_layouts.hpp"

namespace ridepitch {

/// Rises of one wheel that are looked at in one go.
struct RiseWindow {
  double from_mm = 0, to_mm = 0;
  int beside = 0;  ///< -1, +1: stands for what is left below, above, up to where the skeleton becomes collinear

  double middle_mm() const { return (from_mm + to_mm) / 2; }
};

/// Turn of a short lever over half of a window [rad]. A load may bend to both sides of a straight line by the square of that of its
/// growth, and the cube of it of itself.
inline double turn_of(const RiseWindow& window) {
  constexpr double lever_mm = 20;
  return (window.to_mm - window.from_mm) / 2 / lever_mm;
}

/// A corner's places: as wanted; least and greatest rise of each wheel, the others as wanted; as high as each one's bump.
inline std::size_t least_of(std::size_t wheel) { return 1 + 2 * wheel; }
inline std::size_t bump_of(std::size_t wheel, std::size_t wheels) { return 1 + 2 * wheels + wheel; }

/// The place that a sample of a wheel's row is at. @param sample  LoadSample
std::size_t place_at(int sample, std::size_t wheel, std::size_t wheels);

/// Whether the travel from rest to the bump that is needed leads past the greatest rise.
bool needs_travel(const WheelInStance& wheel);

/// Rises of the wheels of a corner at one of its places, each wheel in its window.
std::vector<double> place_in(const std::vector<RiseWindow>& windows, const LaidCorner& corner, std::size_t place);

/// Windows of the wheels of a corner: each choice of those that a skeleton reaches. None: it is proved that it can't hold them.
/// @param skeleton  with the holes and rods of the candidate at hand
std::vector<std::vector<RiseWindow>> cases_reached(const LinkageLayouts& layouts, const Skeleton& skeleton,
                                                   unsigned sides, const LaidCorner& corner);

}  // namespace ridepitch
