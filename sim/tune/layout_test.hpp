#pragma once
// All layouts of a linkage tested against the load: the skeleton laid down once, then every spring between every two places.

#include <cstdint>
#include <vector>

#include "tune/linkage_layouts.hpp"

namespace ridepitch {

/// Some skeletons with the same things changed.
struct SkeletonRun {
  std::uint64_t changed = 0;       ///< a bit for each thing
  std::uint64_t from = 0, to = 0;  ///< among all of them
};

/// All skeletons that layouts with so many changes can have.
std::vector<SkeletonRun> skeleton_runs(const LinkageLayouts& layouts, int least_changes, int most_changes);

/// What was looked at, and what is left.
struct LayoutsLeft {
  std::vector<std::vector<std::uint64_t>>
      by_changes;            ///< what each adds to the candidate's number; in any order, some twice
  std::uint64_t tested = 0;  ///< one by one
};

/// Where one thread works.
struct LayoutWork {
  explicit LayoutWork(const LinkageLayouts& layouts);

  const LinkageLayouts& layouts;
  Skeleton skeleton;
  std::vector<std::vector<Laid>> laid;  ///< [corners, and cases that each can lie][places]
  std::vector<LoadRow> rows;            ///< one for each wheel of those
  std::vector<float> first, second, scratch;
  std::vector<std::uint64_t> passing;
  int end_stride = 16;
};

/// Looks at all layouts of a run with so many changes.
void look_at(LayoutWork& work, const SkeletonRun& run, int least_changes, int most_changes, LayoutsLeft& left);

}  // namespace ridepitch
