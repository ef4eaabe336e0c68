#pragma once
// The ground as the command line says it: --floor, --block CORNER/WHEEL=MM, --slope DEG, --toward SIDE.

#include <optional>
#include <string>
#include <vector>

#include "model/problem.hpp"
#include "ride/floor.hpp"

namespace ridepitch {

struct FloorWords {
  bool asked = false;                                  ///< --floor
  std::vector<std::string> blocks = {};                ///< "rear left/hub=12"
  std::optional<std::string> slope = {}, toward = {};  ///< as written
};

struct FloorOrProblem {
  std::optional<Floor> floor;  ///< none where nothing is said of the ground
  std::optional<Problem> problem;
};
FloorOrProblem read_floor(const FloorWords& words);

/// The words of a command line with "--block" put before every word that continues one: more than one block may follow.
std::vector<std::string> with_every_block_named(const std::vector<std::string>& words);

}  // namespace ridepitch
