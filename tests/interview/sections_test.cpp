#include "interview/sections.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <fstream>
#include <iterator>
#include <set>

#include "interview/answered.hpp"

namespace ridepitch {
namespace {

const char* const machines[] = {
    "front_kind = arm",
    "front_kind = arm-rocker\nfront_coil = own\nfront_tyre = 70\nrear_kind = arm-rocker",
    "front_kind = beam\nrear_kind = beam\nrear_beam_on = frame",
    "front_kind = wishbones\nrear_kind = live-axle\nrear_held = coils",
    "front_kind = live-axle\nfront_held = pivot\nrear_kind = arm",
    "axles = 3\nfront_kind = arm\nmiddle_kind = wishbones\nmiddle_from_front = 20\nrear_kind = "
    "live-axle\nrear_from_front = 40",
};

std::vector<Question> questions_of(const Answers& answers) {
  std::vector<Question> all;
  for (const Section& section : sections_of(answers)) {
    all.insert(all.end(), section.questions.begin(), section.questions.end());
  }
  return all;
}

TEST(Questions, HaveEachAKeyOfTheirOwn) {
  for (const char* machine : machines) {
    std::set<std::string> keys;
    for (const Question& question : questions_of(answered(machine))) {
      EXPECT_TRUE(keys.insert(question.key).second) << question.key;
    }
  }
}

TEST(Questions, HaveAUsualAnswerThatCanBeOne) {
  for (const char* machine : machines) {
    for (const Question& question : questions_of(answered(machine))) {
      EXPECT_EQ(check_answer(question, "").reason, "") << question.key;
      for (const Choice& choice : question.choices) EXPECT_EQ(check_answer(question, choice.name).answer, choice.name);
    }
  }
}

TEST(Questions, FitALineWithRoomToAnswer) {
  const std::size_t page = 100, room = 8, margin = 2;
  for (const char* machine : machines) {
    for (const Question& question : questions_of(answered(machine))) {
      const std::size_t asked =
          margin + question.ask.size() + unit_name(question.unit).size() + question.usual.size() + 8;
      EXPECT_LE(asked, page - (question.choices.empty() ? room : 0)) << question.ask << " " << asked;
      EXPECT_FALSE(question.ask.empty());
    }
  }
}

TEST(Questions, AreKnownAsThoseOfSomeMachineByTheirKeys) {
  for (const char* machine : machines) {
    for (const Question& question : questions_of(answered(machine))) {
      const bool of_an_axle = question.key.starts_with("front_") || question.key.starts_with("middle_") ||
                              question.key.starts_with("rear_");
      EXPECT_EQ(is_key_of_some_machine(question.key), of_an_axle) << question.key;
    }
  }
  for (const char* other : {"front_", "front_wings", "front", "back_coil", ""})
    EXPECT_FALSE(is_key_of_some_machine(other));
}

TEST(Questions, HaveTheirKeysOnThePageAboutThem) {
  std::ifstream file(RIDEPITCH_SOURCE_DIR "/docs/first-file.md");
  const std::string page(std::istreambuf_iterator<char>(file), {});
  for (const char* machine : machines) {
    for (const Question& question : questions_of(answered(machine))) {
      std::string key = question.key;
      for (const char* axle : {"front_", "middle_", "rear_"}) {
        if (key.starts_with(axle)) key = key.substr(std::string(axle).size());
      }
      EXPECT_THAT(page, testing::HasSubstr("`" + key + "`"));
    }
  }
}

TEST(Questions, OfAnAxleOfTheSameKindOfferTheFrontOnesAnswers) {
  const Answers answers = answered("front_kind = arm\nfront_arm_axle = 9\nrear_kind = arm\nfront_points = forward");
  for (const Question& question : questions_of(answers)) {
    if (question.key == "rear_arm_axle") {
      EXPECT_EQ(question.usual, "9");
    }
    if (question.key == "rear_points") {
      EXPECT_EQ(question.usual, "back");
    }
  }
}

TEST(Questions, AboutAnAxleThatIsTheSameAsInFrontAreOnlyWhereItSits) {
  const Answers answers = answered("front_kind = arm-rocker\nrear_kind = same");
  std::vector<std::string> keys;
  for (const Question& question : questions_of(answers)) {
    if (question.key.starts_with("rear_")) keys.push_back(question.key);
  }
  EXPECT_THAT(keys, testing::ElementsAre("rear_kind", "rear_from_front", "rear_above_front", "rear_points",
                                         "rear_scale_g", "rear_ruler_mm"));
}

}  // namespace
}  // namespace ridepitch
