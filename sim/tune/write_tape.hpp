#pragma once
// From a model to its tape: the closed-form plan found, every number of it made a parameter.

#include <optional>
#include <string>
#include <vector>

#include "model/change.hpp"
#include "model/model.hpp"
#include "ride/solution.hpp"
#include "tune/tape.hpp"

namespace ridepitch {

/// A parameter of a linkage set to a number.
struct TapeSetting {
  int row = 0;  ///< of a kernel's parameters: index into Tape::linkage times tape_parameters, and the parameter
  double value = 0;
};

/// A tape and where a model's things are on it.
struct WrittenTape {
  Tape tape;
  std::vector<int> linkage;  ///< [linkages of the model] index into Tape::linkage; -1: not on it
  std::vector<int> station;  ///< [corners of the model] index into Tape::station; -1: a top linkage
};

/// Whether two corners are each other's mirror image: linkage, place, weights, readings.
bool are_each_others_image(const Model& model, int a, int b);

/// Whether left and right are alike, so that it can't lean to a side.
bool stands_upright(const Model& model);

/// @param as_it_stands  the model solved: where its linkages lie and how it leans
/// @param why_not  says, where there is no tape, what of the model the closed form does not cover
std::optional<WrittenTape> write_tape(const Model& model, const Solution& as_it_stands, std::string& why_not);

/// What a change sets; nothing where the closed form can't follow it (a coil in place of a band, a spring with a table,
/// a part that goes).
std::optional<std::vector<TapeSetting>> settings(const WrittenTape& written, const Model& model, const Change& change);

}  // namespace ridepitch
