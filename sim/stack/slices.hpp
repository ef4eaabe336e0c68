#pragma once
// Which slice each part lies in: a search over whole slices, without geometry.

#include <functional>
#include <optional>
#include <vector>

#include "stack/pieces.hpp"

namespace ridepitch {

/// Something that takes slices.
struct SliceItem {
  std::vector<std::vector<Across>> sheets;  ///< walls of each of its sheets, its first slice being 0
  std::optional<int> given;                 ///< where its first slice is
  bool counts = true;                       ///< to the width
  bool carries_wheel = false;
};

/// First and last slice that an item takes, its first slice being 0.
struct Extent {
  int first = 0, last = 0;
};
Extent extent_of(const SliceItem& item);

struct SliceJoint {
  std::vector<int> items;  ///< that an axle goes through
};

struct SlicePuzzle {
  std::vector<SliceItem> items;
  std::vector<SliceJoint> joints;
  /// Whether a sheet of one item and one of another may not overlap across.
  std::function<bool(int one, int sheet, int other, int other_sheet)> clash;
  /// Whether a sheet of an item is in the way of a joint's axle. Not asked of the items that it joins.
  std::function<bool(int joint, int item, int sheet)> covers;
  int most_width = 7;
};

inline constexpr int usual_slice_tries = 20000;

struct SliceAnswer {
  bool found = false;
  bool sure = true;     ///< false: the search ended at its limit; there may be a narrower one, or one at all
  int width = 0;        ///< from the innermost slice used to the outermost, by items that count
  std::vector<int> at;  ///< the first slice of each item
};

/// The least width at which no two items that clash overlap, and every axle passes nothing: between any two items of a joint,
/// from the faces that look at each other (of items with several walls those nearest), no item stands that covers it. What
/// two given items do to each other is not asked. Of equal widths the one whose items that carry wheels lie nearest to
/// slice 0, in sum, then inner ones; then the first in order of items, innermost first.
///
/// By backtracking with forward checking, for every width from 1 on and every place of such a window that can matter.
/// @param most_tries  to put an item somewhere
SliceAnswer find_slices(const SlicePuzzle& puzzle, int most_tries = usual_slice_tries);

/// Items that have no place together within the most width, none of which can be left out; empty where all have one, or the
/// search ends at its limit.
std::vector<int> irreducible(const SlicePuzzle& puzzle, int most_tries = usual_slice_tries);

/// Whether an item may lie at `slice`, the others where they are.
bool may_lie(const SlicePuzzle& puzzle, const std::vector<int>& at, int item, int slice);

/// Whether an axle from one item to another passes through a third one.
bool passes_through(const SlicePuzzle& puzzle, const std::vector<int>& at, int joint, int one, int other, int item);

}  // namespace ridepitch
