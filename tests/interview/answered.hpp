#pragma once
// Answers for tests: a whole machine from a few of them.

#include <gtest/gtest.h>

#include <string>

#include "interview/answers_file.hpp"
#include "interview/model_text.hpp"
#include "model/read.hpp"
#include "ride/solve.hpp"

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
inline Model model_of(const Answers& answers) {
  const std::string text = joined_lines(model_lines(answers));
  ReadModel read = read_model_text(text, "model");
  for (const Problem& problem : read.problems) {
    ADD_FAILURE() << "model:" << problem.place.line << ": " << problem.text << "\n" << text;
  }
  return read.model.value_or(Model{});
}

inline Solution solved(const Model& model) {
  SolveResult result = solve(model, {.curve_points = 2, .other_stances = false});
  for (const Problem& problem : result.problems) ADD_FAILURE() << problem.text;
  return result.solution.value_or(Solution{});
}

}  // namespace ridepitch
