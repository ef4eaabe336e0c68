#pragma once
// How much of everything a model has.

#include <string>
#include <vector>

#include "model/model.hpp"

namespace ridepitch {

struct Count {
  int number = 0;
  std::string singular, plural;
};

/// Corners, wheels (of all corners), linkages, bodies, pins, rods, slides, springs, masses: in this order, nought too.
/// Bodies are those that move; everything but wheels and corners is counted once for each linkage, however many
/// corners use it.
std::vector<Count> tally(const Model& model);

/// "4 corners, 4 wheels, 1 linkage", what there is none of left out.
std::string tally_text(const Model& model);

}  // namespace ridepitch
