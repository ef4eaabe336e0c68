#pragma once
// The questions about one axle's parts, by the form of it.

#include <string>
#include <vector>

#include "interview/answers.hpp"
#include "interview/question.hpp"

namespace ridepitch {

/// The questions about the linkage, its coil and its tyres, keys with the axle's name before them.
std::vector<Question> questions_about_parts(const Answers& answers, const std::string& axle);

/// The ends of their keys, of all forms: "arm_axle".
std::vector<std::string> all_part_keys();

}  // namespace ridepitch
