#pragma once
// A comparison in a sentence.

#include <string>

#include "model/model.hpp"
#include "swap/compare.hpp"

namespace ridepitch {

/// "stands 3.2 mm lower at the rear and rides 30 % softer there": its differences that are not within, the gravest
/// kind first; or "stands the same", and how closely.
std::string verdict_words(const Model& before, const Comparison& comparison);

}  // namespace ridepitch
