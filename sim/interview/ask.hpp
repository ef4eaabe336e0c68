#pragma once
// The asking loop: questions one at a time, over any source of lines and any place to say things.

#include <functional>
#include <optional>
#include <string>

#include "interview/answers.hpp"
#include "interview/question.hpp"

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

}  // namespace ridepitch
