#pragma once
// Changes as they are written on a command line, and as they are told.

#include <string>
#include <vector>

#include "model/change.hpp"
#include "model/model.hpp"
#include "model/problem.hpp"

namespace ridepitch {

/// Words of the options, in the file's own names and units.
struct ChangeWords {
  std::vector<std::string> springs = {};  ///< CORNER/SPRING=PART, =PART*COUNT or =*COUNT; without a count it stays
  std::vector<std::string> holes = {};    ///< CORNER/BODY.HOLE=U,V in modules
  std::vector<std::string> rods = {};     ///< CORNER/ROD=LENGTH in modules
  std::vector<std::string> without = {};  ///< CORNER/SPRING or BAR
};

struct ReadChanges {
  Changes changes;                ///< in the order springs, holes, rods, without
  std::vector<Problem> problems;  ///< of all words; each names the word at fault and the nearest that is known
};

ReadChanges read_changes(const Model& model, const ChangeWords& words);

/// "spring main: 2 coil-65-firm -> 2 coil-65-soft", "hole chassis.seat: [-4, 9] -> [-5, 8]",
/// "rod pushrod: 6 -> 7 modules", "bar rear bar: taken out".
std::string change_words(const Model& model, const Change& change);

/// The corners that a change is at: all that use its linkage; both ends of a bar. By name, in file order.
std::vector<std::string> corners_changed(const Model& model, const Change& change);

}  // namespace ridepitch
