#pragma once
// The questions about one axle's parts, by the kind of it.

#include <string>
#include <vector>

#include "interview/answers.hpp"
#include "interview/question.hpp"
#include "interview/sections.hpp"

namespace ridepitch {

/// What the height of an axle counts from, a point of the frame: "arm's pin", "coils' upper ends".
std::string height_point(const Answers& answers, const std::string& axle);

/// What its place along the machine counts from: "arm's pin", "axle".
std::string length_point(const Answers& answers, const std::string& axle);

/// Whether its parts point forward or back from a pin of the frame, so that this must be asked.
bool has_a_direction(const Answers& answers, const std::string& axle);

/// Whether coils carry it: all but walking beams and axles that turn on a pin of the frame.
bool has_coils(const Answers& answers, const std::string& axle);

/// The questions about the linkage, its coil and its tyres, keys with the axle's name before them.
std::vector<Question> questions_about_parts(const Answers& answers, const std::string& axle);

/// The ends of their keys, of all kinds: "arm_axle".
std::vector<std::string> all_part_keys();

}  // namespace ridepitch
