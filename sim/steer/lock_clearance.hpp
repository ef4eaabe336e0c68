#pragma once
// Lock clearance: how near steered wheels come to `[[keepout]]` boxes and to other wheels, over lock and travel.
//
// A wheel is a solid disc of its tyre's diameter and width (a tyre that gives no width is thin as paper). It turns with its
// knuckle in three dimensions (knuckle.hpp), leans as the sprung linkage leans it, and rises alone, its linkage's other
// wheels held where they rest. A wheel without a curve of its own (fixed, or on a walking beam) stays where it rests; one
// that another top linkage steers stays straight ahead.

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "ride/solution.hpp"
#include "steer/drive_sweep.hpp"

namespace ridepitch {

/// The least gap of one steered wheel, over everything that it could meet.
struct LeastGap {
  std::string wheel;                ///< "front left/hub", or the name in the top linkage where no `same_as` is named
  std::string against;              ///< name of a keepout, or of another wheel
  bool box = false;                 ///< `against` is a keepout
  double gap_mm = 0;                ///< negative: how far they run into each other
  double drive = 0;                 ///< where that is: mm of a rack, degrees of a crank
  double steer_deg = 0;             ///< heading of the wheel there less that with the drive at 0, at rest
  std::optional<double> travel_mm;  ///< of the wheel, above full droop
  std::optional<double> other_travel_mm;  ///< of the other wheel
  Vec3 at_mm = Vec3::Zero();              ///< the wheel's point that is nearest, vehicle axes
  double bound_mm =
      0;  ///< least gap that the search's estimates leave open: 0.02 mm under `gap_mm` unless it stopped early
};

struct LockClearance {
  std::vector<LeastGap> gaps;  ///< one for each steered wheel that can meet anything, in file order
  bool clear = true;           ///< nothing touches, at any lock and travel
  /// The drive's least and greatest value [mm or degrees] up to which, from 0 on, nothing touches at any travel: where `clear`, its ends.
  /// To 0.01 degree of the wheels' turn. None where something touches with the drive at 0 already.
  std::optional<std::array<double, 2>> clear_drive;
  bool complete = true;  ///< false: a search stopped at its limit; gaps may be less, `clear` and `clear_drive` wrong
};

inline constexpr int usual_clearance_cells = 40000;

/// Lock clearance of one top linkage's wheels, by branch and bound on cells of drive and travel.
///
/// What is guaranteed: the gap is that of a real place, so the least gap is never greater than told. What is estimated:
/// that it is not less. The bound of a cell comes from nine places of each wheel and their second differences, which is right
/// where a wheel's motion bends evenly within the cell, and is not proved. Cells that could be nearer by less than 0.02 mm
/// are left out, and the best few places drawn down to a minimum nearby. A cell of which a tie rod reaches only a part is
/// halved 12 times and then left out.
///
/// @param solution    of the model at rest, with curves
/// @param corner      index of the corner that has the top linkage
/// @param path        of its drive; null: the drive stays at 0
/// @param range       of the drive [mm or rad], within the ends of its path; holds 0
/// @param most_cells  that one search may halve, and all of them three times as many; where one stops there the result is
///                    not `complete`
/// @param only_if_touching  no gaps where nothing touches: whether something does is seen far sooner than how near it comes
LockClearance find_lock_clearance(const Model& model, const Solution& solution, int corner, DrivePath* path,
                                  const std::array<double, 2>& range, int most_cells = usual_clearance_cells,
                                  bool only_if_touching = false);

}  // namespace ridepitch
