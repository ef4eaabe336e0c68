#pragma once
// Answers for tests: a whole machine from a few of them.

#include <gtest/gtest.h>

#include <string>

#include "interview/answers_file.hpp"
#include "interview/model_text.hpp"
#include "rigs/models.hpp"

namespace ridepitch {

/// All answers, those that the text leaves out being the usual ones; a failure if the text is refused.
inline Answers answered(const std::string& text) {
  const FileAnswers read = read_answers(text, "answers", {});
  for (const Problem& problem : read.problems) {
    ADD_FAILURE() << "answers:" << problem.place.line << ": " << problem.text << " (" << problem.hint << ")\n" << text;
  }
  return read.answers;
}

/// The model that answers give.
inline Model model_of(const Answers& answers) { return read_rig(joined_lines(model_lines(answers))); }

}  // namespace ridepitch
