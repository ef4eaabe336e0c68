#pragma once
// What a builder should know about a model that was just made.

#include <string>
#include <vector>

#include "interview/answers.hpp"
#include "model/model.hpp"
#include "ride/solution.hpp"

namespace ridepitch {

/// From the front wheels' contacts to the rear wheels', along the machine [mm]; several wheels of an axle: their mean.
double solved_wheelbase_mm(const Solution& solution);

/// The wheelbase of the ruler beside the one that was worked out; readings of the scale that are not what the springs give;
/// and which questions got the usual answer without being asked. With where to look, where something is far off.
std::vector<std::string> remarks(const Answers& answers, const Model& model, const Solution& solution,
                                 const std::vector<std::string>& assumed);

/// "quarry-hauler.toml" for "Quarry hauler".
std::string file_name_for(const std::string& model_name);

}  // namespace ridepitch
