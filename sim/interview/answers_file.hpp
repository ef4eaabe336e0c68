#pragma once
// Answers from a text: one `key = value` a line, `#` begins a comment.

#include <string>
#include <string_view>
#include <vector>

#include "interview/answers.hpp"
#include "model/problem.hpp"

namespace ridepitch {

struct FileAnswers {
  Answers answers;  ///< to all questions, if there is no problem
  std::vector<std::string>
      assumed;  ///< keys of questions that the text does not answer, and that were given the usual answer
  std::vector<Problem> problems;  ///< each with file, line and column
};

/// Reads a text of answers and tries the machine that they give.
///
/// @param path   names the text in messages
/// @param given  answered before, on the command line
FileAnswers read_answers(std::string_view text, const std::string& path, const Answers& given);

}  // namespace ridepitch
