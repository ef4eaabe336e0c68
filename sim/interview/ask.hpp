#pragma once
// The asking loop: questions one at a time, over any source of lines and any place to say things.

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "interview/answers.hpp"
#include "interview/question.hpp"
#include "interview/sections.hpp"

namespace ridepitch {

enum class Saying {
  heading,    ///< of a section
  text,       ///< a sentence or two, to be wrapped
  list,       ///< lines to be shown as they are, set in
  picture,    ///< lines of a picture
  complaint,  ///< why an answer can't be
  prompt,     ///< the question; the answer is typed behind it
};

/// The other side of the conversation. Lines come and go without their newlines.
struct Dialogue {
  std::function<std::optional<std::string>()> read_line;  ///< nothing: the input has ended
  std::function<void(Saying, const std::string&)> say;
};

/// Asks one question until what is typed can be an answer.
///
/// @returns nothing if the input ended
std::optional<std::string> ask_one(const Dialogue& dialogue, const Question& question);

/// Asks everything that `given` does not say already, tries each axle's parts as soon as they are known and shows them, and
/// asks again what does not go together. In between `?` explains a question and `<` goes back to the one before.
///
/// @returns answers that make a machine that stands; nothing if the input ended
std::optional<Answers> ask_all(const Dialogue& dialogue, const Answers& given);

/// The picture that a question needs, if it is the first of its section that does; empty otherwise.
///
/// Before the lengths of an axle's parts: such a linkage with what is answered so far and what is usual for the rest. Before
/// the place of an axle: the machine from the side. Before the weights: the scale and the blocks.
std::vector<std::string> picture_before(const Answers& answers, const Section& section, const Question& question);

/// What the picture of a section shows, in a sentence.
std::string caption_before(const Answers& answers, const Section& section);

}  // namespace ridepitch
