#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "interview/answers.hpp"
#include "interview/question.hpp"

namespace ridepitch {
namespace {

using testing::HasSubstr;
using testing::IsEmpty;

Question numbers(Unit unit, int least_numbers = 1, int most_numbers = 1) {
  Question question;
  question.key = "front_arm_axle";
  question.unit = unit;
  question.least_numbers = least_numbers;
  question.most_numbers = most_numbers;
  question.least = -100;
  question.most = 1000;
  question.usual = "8";
  return question;
}

std::string answer_to(const Question& question, std::string_view typed) {
  const CheckedAnswer checked = check_answer(question, typed);
  EXPECT_EQ(checked.reason, "") << typed;
  return checked.answer;
}

std::string reason_against(const Question& question, std::string_view typed) {
  const CheckedAnswer checked = check_answer(question, typed);
  EXPECT_THAT(checked.answer, IsEmpty()) << typed;
  return checked.reason;
}

TEST(CheckAnswer, TakesANumberHoweverItIsWritten) {
  const Question mm = numbers(Unit::mm);
  for (const char* typed : {"12.5", "12,5", " 12.5 ", "+12.5", "12.5 mm", "12,5mm", "1.25 cm", "12.50", "12\xc2\xbd"}) {
    EXPECT_EQ(answer_to(mm, typed), "12.5") << typed;
  }
  EXPECT_EQ(answer_to(mm, "-3"), "-3");
  EXPECT_EQ(answer_to(mm,
                      "\xe2\x88\x92"
                      "3"),
            "-3");  // a minus sign, U+2212
  EXPECT_EQ(answer_to(mm, "-0"), "0");
}

TEST(CheckAnswer, TurnsUnitsIntoThoseOfTheQuestion) {
  Question grams = numbers(Unit::grams);
  grams.most = 5000;
  EXPECT_EQ(answer_to(grams, "1,498 kg"), "1498");
  EXPECT_EQ(answer_to(grams, "740g"), "740");
  EXPECT_EQ(answer_to(numbers(Unit::holes), "8 holes"), "8");
  EXPECT_THAT(reason_against(grams, "12 mm"), HasSubstr("'mm' is no unit for this: give g"));
  EXPECT_THAT(reason_against(numbers(Unit::mm), "5 inches"), HasSubstr("no unit"));
}

TEST(CheckAnswer, TakesPairsPartedByBlanksOrCommas) {
  const Question pair = numbers(Unit::holes, 2, 2);
  for (const char* typed : {"2 6", "2, 6", "2,6", "[2, 6]", "(2; 6)", "2 holes 6 holes", "2  6 holes"}) {
    EXPECT_EQ(answer_to(pair, typed), "2 6") << typed;
  }
  EXPECT_EQ(answer_to(pair, "2,5 6,5"), "2.5 6.5");
  EXPECT_EQ(answer_to(pair, "2.5,6.5"), "2.5 6.5");
  EXPECT_EQ(answer_to(pair, "-4 9"), "-4 9");
  EXPECT_EQ(answer_to(numbers(Unit::holes, 1, 2), "8,5"), "8.5");  // one number where one does
  EXPECT_EQ(answer_to(numbers(Unit::holes, 1, 2), "8 1"), "8 1");
}

TEST(CheckAnswer, TakesThreeLengthsOnOneLine) {
  const Question box = numbers(Unit::mm, 3, 3);
  for (const char* typed : {"460 x 150 x 120", "460x150x120", "460 X 150 X 120", "460 \xc3\x97 150 \xc3\x97 120",
                            "460\xc3\x97"
                            "150\xc3\x97"
                            "120",
                            "460, 150, 120", "460,150,120", "460 150 120", "460 mm x 150 mm x 120 mm",
                            "460mmx150mmx120mm", "46 x 15 x 12 cm", "46cm x 15cm x 12cm"})
    EXPECT_EQ(answer_to(box, typed), "460 150 120") << typed;
  EXPECT_EQ(answer_to(box, "46,5 x 15 x 12 cm"), "465 150 120");
  EXPECT_EQ(reason_against(box, "460 x 150"), "3 numbers are wanted, but there are 2");
  for (const char* typed : {"460 x x 150 x 120", "x 460 150 120", "460 x 150 x", "460 x wide x 120"})
    EXPECT_FALSE(check_answer(box, typed).reason.empty()) << typed;
}

TEST(CheckAnswer, SaysHowManyNumbersAreWanted) {
  EXPECT_EQ(reason_against(numbers(Unit::holes, 2, 2), "2"), "2 numbers are wanted, but there is 1");
  EXPECT_EQ(reason_against(numbers(Unit::holes), "2 6"), "one number is wanted, but there are 2");
  EXPECT_EQ(reason_against(numbers(Unit::holes, 1, 2), "1 2 3"), "1 to 2 numbers are wanted, but there are 3");
}

TEST(CheckAnswer, SaysWhatIsNoNumber) {
  for (const char* typed :
       {"abc", "12abc3", "1e3", "0x10", "1.2.3", "nan", "inf", "--3", "1/2", "five", "'8'", "\xff"}) {
    EXPECT_FALSE(check_answer(numbers(Unit::mm), typed).reason.empty()) << typed;
  }
  EXPECT_EQ(reason_against(numbers(Unit::mm), "abc"), "'abc' is not a number");
}

TEST(CheckAnswer, RefusesWhatLiesOutsideOfTheRangeAndTellsIt) {
  Question question = numbers(Unit::grams);
  question.least = 0;
  EXPECT_EQ(reason_against(question, "-5"), "-5 is negative");
  EXPECT_EQ(reason_against(question, "1001"), "1001 is too much: it must be at most 1000 g");
  question.least_excluded = true;
  EXPECT_EQ(reason_against(question, "0"), "0 is too small: it must be over 0 g");
  question.least = 10;
  question.least_excluded = false;
  EXPECT_EQ(reason_against(question, "9"), "9 is too small: it must be at least 10 g");
}

TEST(CheckAnswer, HolesSitAtWholeOrHalfSteps) {
  EXPECT_EQ(answer_to(numbers(Unit::holes), "5,5"), "5.5");
  EXPECT_THAT(reason_against(numbers(Unit::holes), "5.3"), HasSubstr("between holes"));
  Question count = numbers(Unit::none);
  count.whole = true;
  EXPECT_THAT(reason_against(count, "2.5"), HasSubstr("no whole number"));
}

TEST(CheckAnswer, NothingTypedTakesTheUsualAnswer) {
  EXPECT_EQ(answer_to(numbers(Unit::holes), ""), "8");
  EXPECT_EQ(answer_to(numbers(Unit::holes), " \t\r"), "8");
  Question question = numbers(Unit::mm);
  question.usual = "";
  EXPECT_EQ(reason_against(question, ""), "an answer is needed");
  EXPECT_EQ(reason_against(question, "-"), "this can't be left out");
  question.may_be_left_out = true;
  EXPECT_EQ(answer_to(question, ""), left_out);
  EXPECT_EQ(answer_to(question, "-"), left_out);
}

TEST(CheckAnswer, TakesAChoiceByNameBeginningOrNumber) {
  Question question;
  question.form = Form::choice;
  question.choices = {{"arm", ""}, {"arm-rocker", ""}, {"wishbones", ""}};
  question.usual = "arm";
  EXPECT_EQ(answer_to(question, "arm"), "arm");
  EXPECT_EQ(answer_to(question, "Wish"), "wishbones");
  EXPECT_EQ(answer_to(question, "arm-"), "arm-rocker");
  EXPECT_EQ(answer_to(question, "2"), "arm-rocker");
  EXPECT_EQ(answer_to(question, ""), "arm");
  EXPECT_THAT(reason_against(question, "wishbnoes"), HasSubstr("did you mean 'wishbones'?"));
  EXPECT_THAT(reason_against(question, "4"), HasSubstr("none of arm, arm-rocker, wishbones"));
  EXPECT_THAT(reason_against(question, "a"), HasSubstr("none of"));  // the beginning of two
}

TEST(CheckAnswer, KnowsTheCoilsAndTyresOfTheCatalogue) {
  Question coil;
  coil.form = Form::coil;
  EXPECT_EQ(answer_to(coil, "Coil-65-Firm"), "coil-65-firm");
  EXPECT_EQ(answer_to(coil, "own"), "own");
  EXPECT_THAT(reason_against(coil, "coil-65-frim"), HasSubstr("did you mean 'coil-65-firm'?"));
  EXPECT_THAT(reason_against(coil, "spiral"), HasSubstr("'own' describes yours"));
  EXPECT_THAT(reason_against(coil, "tyre-69"), HasSubstr("no coil"));
  Question tyre = numbers(Unit::mm);
  tyre.form = Form::tyre;
  EXPECT_EQ(answer_to(tyre, "tyre-69"), "tyre-69");
  EXPECT_EQ(answer_to(tyre, "70"), "70");
  EXPECT_EQ(answer_to(tyre, "7,0 cm"), "70");
  EXPECT_THAT(reason_against(tyre, "tyer-69"), HasSubstr("did you mean 'tyre-69'?"));
}

TEST(CheckAnswer, RefusesTextThatCannotStandInAFile) {
  Question name;
  name.form = Form::text;
  EXPECT_EQ(answer_to(name, "  Quarry hauler \r"), "Quarry hauler");
  EXPECT_THAT(reason_against(name, "a\x1b[31m"), HasSubstr("control character"));
  for (const char* sign :
       {"a\xC2\x85", "\xE2\x80\xAEtoml", "a\xE2\x81\xA9", "a\tb"})  // C1, and what turns the direction of writing
    EXPECT_THAT(reason_against(name, sign), HasSubstr("control character")) << sign;
  EXPECT_THAT(reason_against(name, "\xff"), HasSubstr("UTF-8"));
  EXPECT_THAT(reason_against(name, std::string(500, 'x')), HasSubstr("letters long"));
}

}  // namespace
}  // namespace ridepitch
