// The conversation, without a terminal: lines from a list, what is said into another.

#include "interview/ask.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <deque>

#include "interview/answered.hpp"

namespace ridepitch {
namespace {

using testing::Contains;
using testing::HasSubstr;
using testing::Not;

/// Someone who types these lines, then nothing more.
struct Typist {
  std::deque<std::string> lines;
  std::vector<std::string> prompts = {}, complaints = {}, texts = {}, pictures = {};

  Dialogue dialogue() {
    return {[this]() -> std::optional<std::string> {
              if (lines.empty()) return std::nullopt;
              std::string line = lines.front();
              lines.pop_front();
              return line;
            },
            [this](Saying how, const std::string& text) {
              if (how == Saying::prompt) prompts.push_back(text);
              if (how == Saying::complaint) complaints.push_back(text);
              if (how == Saying::text) texts.push_back(text);
              if (how == Saying::picture) pictures.push_back(text);
            }};
  }
};

/// Enter for every question of a plain machine, with some answers put in at their places.
std::deque<std::string> lines_with(const std::vector<std::string>& first, int enters = 60) {
  std::deque<std::string> lines(first.begin(), first.end());
  lines.insert(lines.end(), static_cast<std::size_t>(enters), "");
  return lines;
}

TEST(Ask, EnterAllTheWayGivesTheUsualMachine) {
  Typist typist{lines_with({})};
  const std::optional<Answers> answers = ask_all(typist.dialogue(), {});
  ASSERT_TRUE(answers);
  EXPECT_THAT(typist.complaints, testing::IsEmpty());
  EXPECT_EQ(*answers, answered(""));
}

TEST(Ask, AsksNothingThatIsGiven) {
  Typist typist{lines_with({})};
  ASSERT_TRUE(ask_all(typist.dialogue(), {{"front_kind", "wishbones"}, {"name", "Given"}}));
  EXPECT_THAT(typist.prompts, Not(Contains(HasSubstr("called"))));
  EXPECT_THAT(typist.prompts, Contains(HasSubstr("upper wishbone")));
}

TEST(Ask, AsksAgainWithTheReasonUntilTheAnswerCanBe) {
  Typist typist{lines_with({"", "five", "4", "-2", "2,5", "2"})};
  const std::optional<Answers> answers = ask_all(typist.dialogue(), {});
  ASSERT_TRUE(answers);
  EXPECT_EQ(answers->at("axles"), "2");
  EXPECT_THAT(typist.complaints, testing::ElementsAre("'five' is not a number.", "4 is too much: it must be at most 3.",
                                                      "-2 is negative.", "2.5 is no whole number."));
}

TEST(Ask, GoesBackAndOffersTheFormerAnswer) {
  Typist typist{lines_with({"<", "First", "3", "<", "<", "Second", "2"})};
  const std::optional<Answers> answers = ask_all(typist.dialogue(), {});
  ASSERT_TRUE(answers);
  EXPECT_EQ(answers->at("name"), "Second");
  EXPECT_EQ(answers->at("axles"), "2");
  EXPECT_THAT(typist.complaints, testing::ElementsAre("there is no question before this one."));
  EXPECT_EQ(typist.prompts[5], "What is the machine called [First]: ");
}

TEST(Ask, TellsMoreWhenAskedTo) {
  Typist typist{lines_with({"", "", "?"})};
  ASSERT_TRUE(ask_all(typist.dialogue(), {}));
  EXPECT_THAT(typist.texts, Contains(HasSubstr("In a file of answers this is 'hole_pitch_mm'.")));
}

TEST(Ask, TellsWhatAChoiceMeansForTheMachineAndAsksAgain) {
  Typist typist{lines_with({"", "", "", "?", "arm"})};
  const std::optional<Answers> answers = ask_all(typist.dialogue(), {});
  ASSERT_TRUE(answers);
  EXPECT_THAT(typist.texts, Contains(testing::StartsWith("arm-rocker: The rod turns a rocker")));
  EXPECT_THAT(typist.texts, Contains("In a file of answers this is 'front_kind'."));
  EXPECT_EQ(std::count(typist.prompts.begin(), typist.prompts.end(), typist.prompts[3]), 2);
}

TEST(Ask, HasWordsForEveryChoiceThatChangesTheMachine) {
  for (const std::string kind : {"arm", "arm-rocker", "beam", "wishbones", "live-axle"}) {
    const Answers answers = answered("rear_kind = " + kind);
    for (const Section& section : sections_of(answers)) {
      for (const Question& question : section.questions) {
        for (const Choice& choice : question.choices) {
          const std::string& words = choice.effect.empty() ? question.more : choice.effect;
          EXPECT_GE(std::count(words.begin(), words.end(), '.'), 2) << question.key << " " << choice.name;
        }
      }
    }
  }
}

TEST(Ask, ShowsTheLinkageBeforeItsLengthsAndAsItGoesTogether) {
  Typist typist{lines_with({})};
  ASSERT_TRUE(ask_all(typist.dialogue(), {{"front_kind", "arm-rocker"}}));
  ASSERT_GE(typist.pictures.size(), 2u);
  for (const char letter : {'P', 'X', 'A', 'B', 'R', 'C', 'S'}) {
    EXPECT_THAT(typist.pictures[0], HasSubstr(std::string(1, letter)));
    EXPECT_THAT(typist.pictures[1], HasSubstr(std::string(1, letter)));
  }
}

TEST(Ask, AsksAgainWhatDoesNotGoTogetherAndKeepsTheRest) {
  // name, axles, pitch; arm points, track, P-X, P-A, then a rod that can't reach
  Typist typist{
      lines_with({"", "", "", "", "", "", "", "20", "", "", "", "", "", "", "", "", "",  // up to the wheel's weight
                  "", "6"})};
  const std::optional<Answers> answers = ask_all(typist.dialogue(), {{"front_kind", "arm-rocker"}});
  ASSERT_TRUE(answers);
  EXPECT_THAT(typist.complaints,
              testing::ElementsAre(HasSubstr("these do not go together: rod 'pushrod' is 160 mm long")));
  EXPECT_THAT(typist.texts, Contains(HasSubstr("Look at these answers again, Enter keeps one: ")));
  Answers expected = answered("front_kind = arm-rocker");
  for (const auto& [key, answer] : *answers) {
    if (key != "front_rod" && key != "front_arm_rod") {
      EXPECT_EQ(answer, expected.at(key)) << key;
    }
  }
}

TEST(Ask, ANoToThePictureGoesThroughTheAxleAgain) {
  Typist typist{lines_with({"", "", "", "", "", "", "", "", "", "", "", "", "", "no"})};
  ASSERT_TRUE(ask_all(typist.dialogue(), {}));
  const auto times = std::count_if(typist.prompts.begin(), typist.prompts.end(),
                                   [](const std::string& prompt) { return prompt.starts_with("Track"); });
  EXPECT_EQ(times, 2);
}

TEST(Ask, EndsWithoutAnswersWhereverTheInputEnds) {
  Typist all{lines_with({})};
  ASSERT_TRUE(ask_all(all.dialogue(), {}));
  const std::size_t needed = all.prompts.size();
  for (std::size_t given = 0; given < needed; ++given) {
    Typist typist{lines_with({}, static_cast<int>(given))};
    EXPECT_FALSE(ask_all(typist.dialogue(), {})) << given;
    EXPECT_EQ(typist.prompts.size(), given + 1);
  }
}

TEST(AskOne, TakesTheFirstAnswerThatCanBe) {
  Question question;
  question.ask = "The model's file";
  question.form = Form::text;
  question.usual = "a.toml";
  Typist typist{{"<", "b.toml"}};
  EXPECT_EQ(ask_one(typist.dialogue(), question), "b.toml");
  Typist silent{{}};
  EXPECT_FALSE(ask_one(silent.dialogue(), question));
}

}  // namespace
}  // namespace ridepitch
