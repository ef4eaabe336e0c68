#pragma once
// From answers to the text of a model, each line with the answers that it comes from.

#include <string>
#include <vector>

#include "interview/answers.hpp"

namespace ridepitch {

struct TextLine {
  std::string text;
  std::vector<std::string> keys;  ///< of the answers that are to blame where this line is; may be empty
};

/// The whole model. All questions of sections_of() have answers.
std::vector<TextLine> model_lines(const Answers& answers);

/// The parts of one axle alone, on the bench under a load of 1 N on each wheel.
std::vector<TextLine> bench_lines(const Answers& answers, const std::string& axle);

/// The lines as one text.
std::string joined_lines(const std::vector<TextLine>& lines);

}  // namespace ridepitch
