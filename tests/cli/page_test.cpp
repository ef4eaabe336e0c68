#include "cli/page.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <limits>

#include "cli/program.hpp"

namespace ridepitch {
namespace {

TEST(ShownName, CannotMoveTheCursorOrChangeColours) {
  EXPECT_EQ(shown("front left"), "front left");
  EXPECT_EQ(shown("a\x1b[31mb\nc\td\x7f"), "a?[31mb?c?d?");
  EXPECT_EQ(shown("k\xc3\xa4rra"), "k\xc3\xa4rra");  // UTF-8 stays
  EXPECT_EQ(shown("a\xff z"), "a? z");               // what is not UTF-8 does not
  EXPECT_EQ(shown("a\xc2\x9b z"), "a? z");           // U+009B, a control character that begins a sequence
}

TEST(ClippedText, KeepsItsWidthInCodePointsAndMarksTheCut) {
  EXPECT_EQ(clipped("hub", 3), "hub");
  EXPECT_EQ(clipped("rear left/hub", 8), "rear le~");
  EXPECT_EQ(clipped("\xc3\xa4\xc3\xb6\xc3\xbc\xc3\x9f", 3), "\xc3\xa4\xc3\xb6~");
  EXPECT_EQ(width_of(clipped("rear left/hub", 8)), 8);
}

TEST(WrappedText, BreaksBetweenWordsAtTheEndOfThePage) {
  const std::string word(30, 'w');
  const std::string text = word + " " + word + " " + word + " " + word;  // 30, 61, 92 columns, then 123
  EXPECT_EQ(wrapped(text, 0), word + " " + word + " " + word + "\n" + word);
  EXPECT_EQ(wrapped(text, 9), word + " " + word + "\n" + std::string(9, ' ') + word + " " + word);
}

TEST(WrappedText, KeepsItsOwnNewlinesAndWordsThatAreTooLong) {
  EXPECT_EQ(wrapped("one\ntwo", 3), "one\n   two");
  const std::string word(150, 'w');
  EXPECT_EQ(wrapped(word, 0), word);
  EXPECT_EQ(wrapped("a " + word + " b", 0), "a\n" + word + "\nb");
}

TEST(Number, HasItsDecimalsAndNeverAMinusBeforeNothing) {
  EXPECT_EQ(number(0.0495, 3), "0.050");
  EXPECT_EQ(number(-0.04, 1), "0.0");
  EXPECT_EQ(number(-0.05, 2), "-0.05");
  EXPECT_EQ(number(-0.0, 0), "0");
}

TEST(Number, IsADashWhereThereIsNone) {
  EXPECT_EQ(number(std::nullopt, 1), "-");
  EXPECT_EQ(number(std::nan(""), 1), "-");
  EXPECT_EQ(number(std::numeric_limits<double>::infinity(), 1), "-");
}

TEST(Number, OfManyDigitsIsShownInPowersOfTen) { EXPECT_EQ(number(-123456789.0, 2), "-1.23e+08"); }

Table two_wheels() {
  return {{{"Wheels", "", "", Align::left}, {"sag", "mm", "how far it sinks"}, {"state", "", "", Align::left}},
          {{"hub", "8.5", "riding"}, {"outer hub", "11.0", "topped"}}};
}

TEST(TableText, AlignsNumbersToTheRightAndTextToTheLeft) {
  EXPECT_EQ(table_text(two_wheels(), {}),
            "Wheels        sag  state\n"
            "               mm\n"
            "  hub         8.5  riding\n"
            "  outer hub  11.0  topped\n"
            "  sag  how far it sinks\n");
}

TEST(TableText, LeavesOutMeaningsWhereTerseIsAskedFor) {
  EXPECT_THAT(table_text(two_wheels(), {Ink{}, true}), testing::Not(testing::HasSubstr("how far")));
}

TEST(TableText, LeavesOutColumnsThatSayNothingAndTheirMeaning) {
  Table table = two_wheels();
  table.rows[0][1] = "-";
  table.rows[1][1] = "";
  const std::string text = table_text(table, {});
  EXPECT_THAT(text, testing::Not(testing::HasSubstr("sag")));
  EXPECT_THAT(text, testing::HasSubstr("outer hub  topped"));
}

TEST(TableText, CutsNamesWhereThePageIsTooNarrow) {
  Table table = two_wheels();
  table.rows[0][0] = std::string(200, 'n');
  table.rows[1][2] = std::string(90, 's');
  for (const std::string& line : lines_of(table_text(table, {}))) EXPECT_LE(width_of(line), page_width) << line;
}

TEST(InkOnPaper, IsNoneWhereItIsOff) {
  EXPECT_EQ(Ink{}.heading("x"), "x");
  EXPECT_EQ(Ink{}.level(Level::problem, "x"), "x");
  EXPECT_THAT(Ink{true}.heading("x"), testing::StartsWith("\x1b["));
}

}  // namespace
}  // namespace ridepitch
