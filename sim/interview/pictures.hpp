#pragma once
// Which picture goes before which question.

#include <string>
#include <vector>

#include "interview/answers.hpp"
#include "interview/sections.hpp"

namespace ridepitch {

/// The picture that a question needs, if it is the first of its section that does; empty otherwise.
///
/// Before the lengths of an axle's parts: such a linkage with what is answered so far and what is usual for the rest. Before
/// the place of an axle: the machine from the side. Before the weights: the scale and the blocks.
std::vector<std::string> picture_before(const Answers& answers, const Section& section, const Question& question);

/// What the picture of a section shows, in a sentence.
std::string caption_before(const Answers& answers, const Section& section);

}  // namespace ridepitch
