// Answers drawn at random: whatever is answered, the program either tells what does not go together, and which answers to look
// at, or writes a model that reads and solves.

#include <fmt/format.h>
#include <gtest/gtest.h>

#include <cmath>
#include <cstdlib>
#include <random>

#include "interview/answered.hpp"
#include "interview/sections.hpp"
#include "rigs/rest.hpp"
#include "rigs/scale.hpp"

namespace ridepitch {
namespace {

using Random = std::mt19937;

double between(Random& random, double least, double most) {
  return std::uniform_real_distribution(least, most)(random);
}

/// Something that can be an answer: mostly near the usual one, so that many machines go together.
std::string random_answer(Random& random, const Question& question) {
  if (!question.choices.empty()) {
    return question.choices[random() % question.choices.size()].name;
  }
  if (question.form == Form::coil) return random() % 3 == 0 ? "own" : question.usual;
  if (question.form == Form::tyre) return random() % 3 == 0 ? "70" : question.usual;
  if (question.form == Form::text || question.usual.empty() || random() % 2 == 0) return question.usual;
  std::string answer;
  const Answers usual = {{"usual", question.usual}};
  for (const double number : numbers_of(usual, "usual")) {
    const double near = number + between(random, -1.5, 1.5) * std::max(1.0, 0.2 * std::abs(number));
    const double allowed = std::clamp(near, question.least, question.most);
    answer += fmt::format("{}{}", answer.empty() ? "" : " ",
                          question.whole ? std::round(allowed) : std::round(2 * allowed) / 2);
  }
  return answer;
}

/// Answers to all questions of some machine, as a text.
std::string random_machine(Random& random) {
  Answers answers;
  std::string text;
  while (true) {
    std::vector<Question> open;
    for (const Section& section : sections_of(answers)) {
      for (const Question& question : section.questions) {
        if (!answers.contains(question.key)) open.push_back(question);
      }
    }
    if (open.empty()) return text;
    const Question& question = open.front();
    const std::string typed = random_answer(random, question);
    const CheckedAnswer checked = check_answer(question, typed);
    EXPECT_EQ(checked.reason, "") << question.key << " = " << typed;
    answers[question.key] = checked.answer;
    text += fmt::format("{} = {}\n", question.key, checked.answer);
    if (!checked.reason.empty()) return text;
  }
}

TEST(RandomAnswers, GiveAModelThatSolvesOrAreToldWhatToLookAt) {
  const int count = scaled(60, 10);
  int stood = 0;
  for (int seed = 1; seed <= count; ++seed) {
    Random random(static_cast<unsigned>(seed));
    const std::string text = random_machine(random);
    SCOPED_TRACE(fmt::format("seed {}\n{}", seed, text));
    const FileAnswers read = read_answers(text, "answers", {});
    for (const Problem& problem : read.problems) {
      EXPECT_EQ(problem.code, "does-not-fit") << problem.text;
      EXPECT_GT(problem.place.line, 0) << problem.text;
      EXPECT_NE(problem.hint.find("look at "), std::string::npos) << problem.hint;
    }
    if (!read.problems.empty()) continue;
    ++stood;
    EXPECT_TRUE(solved(model_of(read.answers)).vehicle);
  }
  EXPECT_GT(stood, 0);
}

}  // namespace
}  // namespace ridepitch
