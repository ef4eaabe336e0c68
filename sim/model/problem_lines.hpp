#pragma once
// The file's name and the line itself for problems that have only a place.

#include <vector>

#include "model/model.hpp"
#include "model/problem.hpp"

namespace ridepitch {

/// Fills in the file's name and the line itself where a problem has only a place in one of the model's files.
void fill_in_lines(std::vector<Problem>& problems, const Model& model);

}  // namespace ridepitch
