#pragma once
// Changes as they are written on a command line, and as they are told; springs and places in words.

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
  std::vector<std::string> parts = {};    ///< CORNER/BODY=PART
  std::vector<std::string> tyres = {};    ///< CORNER/WHEEL=PART
  std::vector<std::string> heights = {};  ///< CORNER/ROD=FROM,TO in modules
};

struct ReadChanges {
  Changes changes;                ///< in the order springs, holes, rods, without, parts, tyres, heights
  std::vector<Problem> problems;  ///< of all words; each names the word at fault and the nearest that is known
};

ReadChanges read_changes(const Model& model, const ChangeWords& words);

/// "spring main: 2 coil-65-firm -> 2 coil-65-soft", "hole chassis.seat: [-4, 9] -> [-5, 8]",
/// "rod pushrod: 6 -> 7 modules", "bar rear bar: taken out", "part rocker: beam-9 -> beam-11", "tyre hub: tyre-62 -> tyre-70",
/// "height tie: [3, 3] -> [3, 3.5]".
std::string change_words(const Model& model, const Change& change);

/// The corners that a change is at: all that use its linkage; both ends of a bar. By name, in file order.
std::vector<std::string> corners_changed(const Model& model, const Change& change);

/// In a builder's words: "move the hole 'seat' of the chassis one hole forward and two up", "rod pushrod: 7 instead of 6",
/// "2 of coil-6-firm in place of 1 of coil-9-firm", "take beam-11 for 'rocker' instead of beam-9", "raise rod 'tie' half a
/// hole at hub.arm".
std::string builder_words(const Model& model, const Change& change);

/// "tyre-70"; of one written in place: "62.4 mm".
std::string tyre_words(const Wheel& wheel);

/// What a body is made of: "beam-9", "frame-5-7 and beam-15", "no part".
std::string made_words(const Body& body);

/// "[3, 3.5]", in modules; "none".
std::string height_words(const Rod& rod, double module_mm);

/// "[-4, 9.5]", in modules.
std::string place_words(const Vec2& p_mm, double module_mm);

/// "2 coil-65-firm"; of one written in place: "2 coils of 0.55 N/mm"; of one that turns: "1 torsion spring of
/// 12 N mm/deg".
std::string spring_words(const Spring& spring);

/// Whether two springs do the same: their laws and how many they are, whatever their parts are called.
bool same_springs(const Spring& a, const Spring& b);

}  // namespace ridepitch
