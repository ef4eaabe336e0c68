#include "interview/answers_file.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace ridepitch {
namespace {

using testing::Contains;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::Not;

/// The one problem of a text, "LINE:COLUMN: TEXT".
std::string told(std::string_view text, const Answers& given = {}) {
  std::string all;
  for (const Problem& problem : read_answers(text, "answers.txt", given).problems) {
    EXPECT_EQ(problem.file_name, "answers.txt");
    EXPECT_FALSE(problem.hint.empty()) << problem.text;
    all += (all.empty() ? "" : "\n") + std::to_string(problem.place.line) + ":" + std::to_string(problem.place.column) +
           ": " + problem.text;
  }
  return all;
}

TEST(AnswersFile, TakesCommentsBlanksQuotesAndEveryLineEnd) {
  const FileAnswers read = read_answers(
      "\xEF\xBB\xBF# a hauler\r\n\r\n  name = \"Hauler # 5\"  # in quotes\r\nfront_track_mm=12,8 cm\r\n\tfront_coils = "
      "2",
      "a", {});
  EXPECT_THAT(read.problems, IsEmpty());
  EXPECT_EQ(read.answers.at("name"), "Hauler # 5");
  EXPECT_EQ(read.answers.at("front_track_mm"), "128");
  EXPECT_EQ(read.answers.at("front_coils"), "2");
}

TEST(AnswersFile, NamesTheQuestionsThatItDoesNotAnswer) {
  const FileAnswers read = read_answers("front_track_mm = 140\n", "a", {});
  EXPECT_THAT(read.assumed, Contains("front_scale_g"));
  EXPECT_THAT(read.assumed, Not(Contains("front_track_mm")));
  EXPECT_THAT(read.assumed, Not(Contains("wheelbase_mm")));  // left out, not assumed
}

TEST(AnswersFile, PointsAtTheValueThatCannotBe) {
  EXPECT_EQ(told("# x\nfront_track_mm = wide\n"), "2:18: front_track_mm: 'wide' is not a number");
  EXPECT_EQ(told("front_coils = -1"), "1:15: front_coils: -1 is negative");
  EXPECT_EQ(told("front_kind = amr"), "1:14: front_kind: 'amr' is none of them; did you mean 'arm'?");
}

TEST(AnswersFile, TellsAllThatIsWrongAtOnceInTheOrderOfLines) {
  EXPECT_EQ(told("front_coils = x\nfront_sclae_g = 5\nmoin\nname = a\nname = b\n"),
            "1:15: front_coils: 'x' is not a number\n"
            "2:1: no question has the key 'front_sclae_g'\n"
            "3:1: 'moin' is no 'key = value'\n"
            "5:1: 'name' is answered twice, first in line 4");
}

TEST(AnswersFile, SuggestsTheNearestKey) {
  const FileAnswers read = read_answers("front_sclae_g = 5\n", "a", {});
  ASSERT_EQ(read.problems.size(), 1u);
  EXPECT_EQ(read.problems[0].hint, "did you mean 'front_scale_g'?");
  EXPECT_EQ(read.problems[0].line_text, "front_sclae_g = 5");
}

TEST(AnswersFile, RefusesAnswersToQuestionsThatAreNotAsked) {
  EXPECT_EQ(told("front_kind = arm\nfront_rocker_pin = 2 6"),
            "2:1: 'front_rocker_pin' is not asked where front_kind is 'arm'");
  EXPECT_EQ(told("middle_scale_g = 5"), "1:1: 'middle_scale_g' is not asked of a machine with 2 axles");
  EXPECT_EQ(told("rear_kind = same\nrear_coil = own"), "2:1: 'rear_coil' is not asked where rear_kind is 'same'");
}

TEST(AnswersFile, ASlipAtAnAnswerThatOthersHangOnIsToldOnce) {
  const std::string rocker = "front_rod = 6\nfront_rocker_pin = 2 6\nfront_rocker_rod = 3\nfront_arm_rod = 5\n";
  EXPECT_EQ(told("front_kind = arm-roker\n" + rocker),
            "1:14: front_kind: 'arm-roker' is none of them; did you mean 'arm-rocker'?");
  EXPECT_EQ(told("front_knid = arm-rocker\n" + rocker), "1:1: no question has the key 'front_knid'");
  EXPECT_EQ(told("front_kind arm-rocker\n" + rocker), "1:1: 'front_kind arm-rocker' is no 'key = value'");
  EXPECT_EQ(told("front_kind: arm-rocker\n" + rocker), "1:1: 'front_kind: arm-rocker' is no 'key = value'");
  EXPECT_EQ(told("axles = tree\nmiddle_kind = arm\nmiddle_from_front = 16\n"), "1:9: axles: 'tree' is not a number");
  EXPECT_EQ(told("front_coil = onw\nfront_coil_free_mm = 56\nfront_coil_solid_mm = 40\n"),
            "1:14: front_coil: there is no coil 'onw'; did you mean 'own'?");
  EXPECT_EQ(told("front_kind = beam\nfront_baem_on = frame\n"), "2:1: no question has the key 'front_baem_on'");
}

TEST(AnswersFile, ASlipAtOneAxleHidesNothingOfAnother) {
  EXPECT_EQ(told("rear_kind = beem\nrear_beam_on = frame\nfront_rod = 6\n"),
            "1:13: rear_kind: 'beem' is none of them; did you mean 'beam'?\n"
            "3:1: 'front_rod' is not asked where front_kind is 'arm'");
  EXPECT_EQ(told("front_coil = onw\nfront_coil_free_mm = 56\nfront_rod = 6\n"),
            "1:14: front_coil: there is no coil 'onw'; did you mean 'own'?\n"
            "3:1: 'front_rod' is not asked where front_kind is 'arm'");
}

TEST(AnswersFile, TellsPartsThatDoNotGoTogetherAtTheirAnswer) {
  // R lies sqrt(2^2 + 6^2) = 6.32 holes from P. A swings 5 about P and B 3 about R: they are at most 14.32 holes,
  // 114.6 mm, apart.
  const FileAnswers read = read_answers("front_kind = arm-rocker\nfront_rod = 20\n", "a", {});
  ASSERT_EQ(read.problems.size(), 1u);
  EXPECT_EQ(read.problems[0].place.line, 2);
  EXPECT_EQ(read.problems[0].fault, Fault::no_solution);
  EXPECT_THAT(read.problems[0].hint, HasSubstr("114.6 mm"));
  EXPECT_THAT(read.problems[0].hint, HasSubstr("look at front_rod, front_arm_rod, front_rocker_rod, front_rocker_pin"));
}

TEST(AnswersFile, TellsACoilThatDoesNotFit) {
  // From C at (5, 0) to S at (9, 20) is sqrt(4^2 + 20^2) = 20.4 holes, 163.2 mm.
  const FileAnswers read = read_answers("front_seat = 9 20\n", "a", {});
  ASSERT_EQ(read.problems.size(), 1u);
  EXPECT_EQ(read.problems[0].text, "the coil does not fit between C and S anywhere in the travel");
  EXPECT_THAT(read.problems[0].hint, HasSubstr("163.2 mm apart, 20.4 holes"));
}

TEST(AnswersFile, TellsAnswersThatContradictEachOther) {
  EXPECT_THAT(told("front_coil = own\nfront_coil_free_mm = 30\n"),
              HasSubstr("2:1: a coil that is 36 mm long when it goes solid"));
  EXPECT_THAT(told("front_coil = own\nfront_coil_start_g = 1200\n"),
              HasSubstr("begins to move at 1200 g can't go solid at 1000 g"));
  EXPECT_THAT(told("front_scale_g = 1200\nrear_scale_g = 500 600"), HasSubstr("weighed apart at some axles"));
  EXPECT_THAT(told("axles = 3\nmiddle_from_front = 40\nrear_from_front = 30\n"),
              HasSubstr("middle axle lies behind the rear"));
  EXPECT_THAT(told("front_scale_g = 10\nrear_scale_g = 20\n"), HasSubstr("the readings add up to 30 g"));
}

TEST(AnswersFile, TellsAMachineThatNothingHoldsUpright) {
  const std::string text = told("front_kind = live-axle\nfront_held = pivot\n");
  EXPECT_THAT(text, HasSubstr("2:1: nothing supports the machine"));
}

TEST(AnswersFile, MayNotContradictTheCommandLine) {
  const Answers given = {{"front_kind", "wishbones"}};
  EXPECT_EQ(told("front_kind = wishbones\n", given), "");
  EXPECT_EQ(told("front_kind = arm\n", given), "1:14: front_kind is 'arm' here, but 'wishbones' on the command line");
}

TEST(AnswersFile, SurvivesAnyText) {
  for (const std::string& text :
       {std::string(), std::string("\0\0=", 3), std::string("=\n= =\n\"\n#\n"), std::string("\xff\xfe = 3"),
        std::string(100000, '='), "name = " + std::string(100000, 'x'), std::string("axles = 99999999999")}) {
    const FileAnswers read = read_answers(text, "a", {});
    EXPECT_EQ(read.problems.empty(), text.empty()) << text.substr(0, 40);
  }
}

}  // namespace
}  // namespace ridepitch
