#pragma once
// All that a model says, as text: two models are alike if these are. Places in the file are left out.

#include <string>

#include "model/model.hpp"

namespace ridepitch {

std::string words_of(const Model& model);

}  // namespace ridepitch
