#pragma once
// What differs between two models, as a builder is told: one row for each thing, and where it lies in a drawing.

#include <string>
#include <vector>

#include "model/model.hpp"

namespace ridepitch {

/// A linkage of the first model and what stands in its place in the second, at corners of the same names.
struct LinkagePair {
  int before = 0, after = 0;                       ///< indices of linkages
  std::vector<int> corners_before, corners_after;  ///< matched one to one
};

/// What a change is of, in the linkage that a drawing shows.
enum class ChangedThing { hole, rod, spring, body, wheel, limit, slide, pin, elsewhere };

struct SheetChange {
  int number = 0;               ///< from 1; a callout in the drawing
  std::string what_to_do;       ///< a sentence
  std::string thing;            ///< "hole chassis.rocker"
  std::string from, to;         ///< "[2, 6]", "[3, 5]"; empty: there was, or is, none
  std::vector<std::string> at;  ///< corners; empty: the vehicle
  ChangedThing kind = ChangedThing::elsewhere;
  int pair = -1;          ///< of SheetChanges::pairs; -1: in no linkage
  HoleRef before, after;  ///< of a hole; of others the index is `hole`; -1: not there
};

struct SheetChanges {
  std::vector<LinkagePair> pairs;
  std::vector<SheetChange> list;
};

/// Holes, bodies, pins, rods, springs, limits, slides and tyres of linkages, matched by name; where linkages sit; masses;
/// anti-roll bars.
SheetChanges changes_between(const Model& before, const Model& after);

}  // namespace ridepitch
