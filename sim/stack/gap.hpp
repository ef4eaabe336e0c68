#pragma once
// How near two things of a linkage come over its movement.

#include <memory>
#include <vector>

#include "stack/pieces.hpp"

namespace ridepitch {

/// A path of a linkage: its poses one after another, near enough for everything between two of them to move evenly.
struct Motion {
  enum class Kind { rest, travel, drive };
  Kind kind = Kind::rest;
  std::vector<std::vector<Pose>> poses = {};  ///< of the moving bodies
  std::vector<double> place = {};             ///< of each: mm of travel, mm or degrees of a drive
  std::vector<int> corners = {};              ///< that move so
  bool degrees = false;                       ///< a drive's places are angles
};

/// What the corners of a linkage do on their wheels: each pose at rest, and the travel of each wheel that has a curve. Corners
/// that move alike, to a micrometre, share a motion.
std::vector<Motion> travels_of(const Model& model, const Solution& solution, int linkage);

/// Poses of a motion, a share t past one of its places towards the next: along cubics through these and their neighbours.
/// @param k  there is a next one
std::vector<Pose> poses_between(const Motion& motion, std::size_t k, double t);

/// Where two things are nearest.
struct NearestPlace {
  double gap_mm = 1e300;  ///< negative: so deep they run into each other
  int motion = -1;
  double place = 0;
};

/// Gap of two silhouettes in one pose [mm]: of pieces the distance of their middle lines less both radii, of a box and a piece
/// the distance of the line less the radius, within the box by how far it is from the nearest side. Pieces that end in a
/// joint they share are left out.
/// @param moving  poses of the moving bodies
double gap_in(const Silhouette& one, const Silhouette& other, const std::vector<Pose>& moving);

/// A silhouette followed over some motions.
struct Tracks;

/// Follows silhouettes over motions; looks for least gaps of two of them.
///
/// Between two poses of a motion bodies go along cubics through these and their neighbours. A least gap is found to
/// 0.03 mm: where the path of each until the next pose leaves no more than that, nothing is looked at between.
struct GapFinder {
  explicit GapFinder(const std::vector<Motion>& motions);
  ~GapFinder();
  GapFinder(GapFinder&&) noexcept;

  /// @returns its number
  int add(const Silhouette& silhouette, const std::vector<int>& corners = {});

  /// The nearest place of two of them, where it is under `under_mm`; else one without a motion.
  /// @param only_whether  the first place that is found under it will do
  NearestPlace nearest(int one, int other, double under_mm, bool only_whether) const;

 private:
  std::unique_ptr<Tracks> tracks;
};

/// A clash is one that is deeper [mm].
inline constexpr double clash_mm = 0.02;

}  // namespace ridepitch
