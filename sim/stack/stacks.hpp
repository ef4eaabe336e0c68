#pragma once
// How the parts of each linkage lie across its plane, and what is in the way.

#include <string>
#include <vector>

#include "stack/gap.hpp"
#include "stack/pieces.hpp"

namespace ridepitch {

/// A body, rod or spring in its slices; slice numbers as in stack/pieces.hpp.
struct StackedPart {
  StackKind kind = StackKind::body;
  int index = 0;
  std::string name;  ///< "pushrod"
  int first = 0, last = 0;
  bool given = false;  ///< by the file
};

/// A tyre beside a linkage of the side plane.
struct StackedTyre {
  std::string name;  ///< of its wheel
  Across across;
};

/// A pin through a joint, or the axle of a wheel.
struct NeededPin {
  std::string joint;             ///< "arm.push"; of an axle the wheel's name
  bool axle = false;             ///< it carries a wheel
  double needed = 0;             ///< modules, from the innermost face to the outermost
  bool meets_free = false;       ///< one module of that is for a body that does not say where it lies
  std::string part;              ///< the shortest of the catalogue that is long enough; empty: none is
  std::optional<double> length;  ///< modules
};

struct LinkageStack {
  int linkage = 0;
  std::string name;
  std::vector<StackedPart> parts = {};  ///< in file order; where not `complete` those that the file gives
  std::vector<StackedTyre> tyres = {};
  bool complete = false;  ///< each part has its place
  bool sure = true;       ///< false: the search ended at its limit: a narrower one, or one at all, may exist
  int width = 0;          ///< from the innermost slice used to the outermost
  std::vector<NeededPin> pins = {};
};

struct Stacks {
  std::vector<LinkageStack> linkages;  ///< those that a corner uses
  std::vector<Finding> findings;       ///< `parts-touch`, `does-not-stack`
};

/// What a drive does to a linkage of the top plane.
struct DriveMotion {
  int linkage = 0;
  Motion motion;
};

/// Slices of every linkage that is used, over the travel of all its wheels at all its corners, and over its drive's.
///
/// Given layers are kept; what two given parts do to each other is `parts-touch`. Of the others slices are found
/// (stack/slices.hpp): two parts clash where they come over `clash_mm` into each other anywhere, or share a joint.
/// @param drives  of top linkages; without them these are looked at as they are drawn
Stacks find_stacks(const Model& model, const Solution& solution, const std::vector<DriveMotion>& drives = {});

}  // namespace ridepitch
