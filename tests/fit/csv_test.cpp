// Tables of readings in every shape that a spreadsheet or a hand writes them in: read right, or refused with the line.
// What is right follows from the text beside it.

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cstdlib>
#include <random>

#include "fit/spring_readings.hpp"
#include "rigs/scale.hpp"

namespace ridepitch {
namespace {

using testing::HasSubstr;
using testing::SizeIs;

constexpr double newtons_a_gram = 9.80665e-3;  // standard gravity, exact

std::vector<SpringReading> read(const std::string& text, std::optional<double> free_mm = std::nullopt) {
  const ReadSpringReadings read = read_spring_readings(text, "coil.csv", free_mm);
  for (const Problem& problem : read.problems)
    ADD_FAILURE() << problem.place.line << ": " << problem.text << "\n" << text;
  return read.readings ? read.readings->readings : std::vector<SpringReading>{};
}

/// The one problem of a text, its line and a piece of its words.
void expect_refused(const std::string& text, int line, const std::string& code, const std::string& words) {
  const ReadSpringReadings read = read_spring_readings(text, "coil.csv", std::nullopt);
  EXPECT_FALSE(read.readings) << text;
  ASSERT_THAT(read.problems, testing::Not(testing::IsEmpty())) << text;
  const Problem& problem = read.problems.front();
  EXPECT_EQ(problem.place.line, line) << problem.text;
  EXPECT_EQ(problem.code, code) << problem.text;
  EXPECT_THAT(problem.text, HasSubstr(words));
  EXPECT_EQ(problem.file_name, "coil.csv");
  EXPECT_NE(problem.hint, "") << "it must say what to do: " << problem.text;
}

/// 54.5 mm at 262 g and 48 mm at 640.5 g, whatever the text looks like.
void expect_the_two(const std::string& text) {
  const std::vector<SpringReading> readings = read(text);
  ASSERT_THAT(readings, SizeIs(2)) << text;
  EXPECT_NEAR(readings[0].length_mm, 54.5, 1e-9) << text;
  EXPECT_NEAR(readings[0].force_n, 262 * newtons_a_gram, 1e-9) << text;
  EXPECT_NEAR(readings[1].length_mm, 48, 1e-9) << text;
  EXPECT_NEAR(readings[1].force_n, 640.5 * newtons_a_gram, 1e-9) << text;
}

TEST(ReadingsTable, IsReadInEveryOrdinaryShape) {
  expect_the_two("length_mm,grams\n54.5,262\n48,640.5\n");
  expect_the_two("length_mm,grams\r\n54.5,262\r\n48,640.5");            // CRLF, no newline at the end
  expect_the_two("length_mm,grams\r54.5,262\r48,640.5\r");              // CR alone
  expect_the_two("\xEF\xBB\xBFlength_mm;grams\n54,5;262\n48;640,5\n");  // byte order mark, decimal commas
  expect_the_two("length_mm\tgrams\n54.5\t262\n48\t640.5\n");           // tabs
  expect_the_two("length_mm\tgrams\n54,5\t262\n48\t640,5\n");           // tabs and decimal commas
  expect_the_two("length_mm grams\n54.5   262\n  48 640.5  \n");        // blanks
  expect_the_two("\n\n# my coil\nlength_mm,grams\n\n54.5,262 # first\n\n48,640.5\n\n");
  expect_the_two("\"length (mm)\",\"weight (g)\"\n\"54,5\",\"262\"\n\"48\",\"640,5\"\n");  // quoted decimal commas
  expect_the_two("length_mm;grams;;\n54,5;262;;\n;;;\n48;640,5;;\n");  // a spreadsheet's empty cells
  expect_the_two("grams,length_mm\n262,54.5\n640.5,48\n");             // the other way round
  expect_the_two("no,length_mm,grams\n1,54.5,262\n2,48,640.5\n");      // a column of no use
  expect_the_two("length_mm,grams\n+5.45e1,262.\n48,6.405E2\n");
}

TEST(ReadingsTable, UnitsStandInTheHeader) {
  expect_the_two("length [cm],weight [kg]\n5.45,0.262\n4.8,0.6405\n");
  expect_the_two("mm,g\n54.5,262\n48,640.5\n");
  expect_the_two("L\xC3\xA4nge (mm);Gewicht (g)\n54,5;262\n48;640,5\n");  // named in another language
  // The inch is 25.4 mm, the pound 453.59237 g and 16 ounces, exactly (international agreement of 1959).
  const auto inches = read("length_in,oz\n2,16\n");
  ASSERT_THAT(inches, SizeIs(1));
  EXPECT_NEAR(inches[0].length_mm, 50.8, 1e-9);
  EXPECT_NEAR(inches[0].force_n, 453.59237 * newtons_a_gram, 1e-9);
  EXPECT_NEAR(read("length_m,lb\n0.05,1\n")[0].force_n, 453.59237 * newtons_a_gram, 1e-9);
  EXPECT_NEAR(read("length_mm,force_N\n50,6.4\n")[0].force_n, 6.4, 1e-12);
  EXPECT_NEAR(read("length_mm,force (mN)\n50,6400\n")[0].force_n, 6.4, 1e-12);
}

TEST(ReadingsTable, ACompressionCountsFromTheFreeLength) {
  EXPECT_NEAR(read("compression_mm,grams\n6,300\n", 56)[0].length_mm, 50, 1e-12);
  EXPECT_NEAR(read("extension_mm,grams\n6,300\n", 40)[0].length_mm, 46, 1e-12);
  expect_refused("compression_mm,grams\n6,300\n", 1, "free-length", "counts from the free length");
}

TEST(ReadingsTable, WhatIsWrongIsRefusedWithItsLine) {
  expect_refused("", 1, "no-table", "no table");
  expect_refused("# nothing\n\n", 1, "no-table", "no table");
  expect_refused("54.5,262\n48,640\n", 1, "no-header", "not a header");
  expect_refused("length,grams\n54.5,262\n", 1, "unknown-unit", "'length'");
  expect_refused("length_ft,grams\n54.5,262\n", 1, "unknown-unit", "'length_ft'");
  expect_refused("length_mm,weight\n54.5,262\n", 1, "unknown-unit", "'weight'");
  expect_refused("length_modules,grams\n7,262\n", 1, "unknown-unit", "too coarse");
  expect_refused("length_mm\n54.5\n", 1, "no-column", "scale readings");
  expect_refused("grams\n54.5\n", 1, "no-column", "lengths");
  expect_refused("length_mm,length_cm,grams\n54.5,5.45,262\n", 1, "two-columns", "two columns of lengths");
  expect_refused("length_mm,grams\n\n54,5,262\n", 3, "too-many-cells", "3 cells, but the header has 2");
  expect_refused("length_mm,grams\n54.5,\n", 2, "empty-cell", "missing");
  expect_refused("length_mm,grams\n54.5\n", 2, "empty-cell", "missing");
  expect_refused("length_mm,grams\n54.5,many\n", 2, "wrong-type", "'many'");
  expect_refused("length_mm,grams\n54.5 mm,262\n", 2, "wrong-type", "'mm' stands behind the number");
  expect_refused("length_mm;grams\n54.5;262\n48,5;640\n", 3, "mixed-decimals", "line 2 has one with a decimal point");
  expect_refused("length_mm;grams\n54.5;1,250.5\n", 2, "thousands", "more than one mark");
  expect_refused("length_mm;grams\n54;1.250,5\n", 2, "thousands", "more than one mark");
  expect_refused("length_mm;grams\n54;1,250\n", 2, "thousands", "thousands or decimals");
  expect_refused("length_mm,grams\n-54,262\n", 2, "out-of-range", "-54 mm long");
  expect_refused("length_mm,grams\n1000.1,262\n", 2, "out-of-range", "1000.1 mm long");
  expect_refused("length_m,grams\n0.05,100\n54,262\n", 3, "out-of-range", "54000 mm long");
  expect_refused("length_in,grams\n54,262\n", 2, "out-of-range", "1371.6 mm long");
  expect_refused("length_mm,grams\n0,262\n", 2, "out-of-range", "0 mm long");
  expect_refused("length_mm,grams\n54,-3\n", 2, "negative", "under 0");
  expect_refused("length_mm,grams\n54,1e9\n", 2, "not-believable", "1e9");
  expect_refused("length_mm,grams\n54,nan\n", 2, "wrong-type", "'nan'");
  expect_refused("length_mm,grams,pass\n54,262,sideways\n", 2, "unknown-name", "'sideways'");
  expect_refused(std::string("length_mm,grams\n54,2\0002\n", 23), 2, "control-character", "control character");
  expect_refused("length_mm,grams\n54,\xFF\n", 2, "not-utf8", "not UTF-8");
  expect_refused(std::string("\xFF\xFEl\0e\0", 6), 0, "not-utf8", "UTF-16");
}

TEST(ReadingsTable, ACommaIsADecimalOnceAnythingInTheFileShowsIt) {
  const auto readings = read("length_mm;kg\n54,5;0,262\n48;1,250\n");
  ASSERT_THAT(readings, SizeIs(2));
  EXPECT_NEAR(readings[1].force_n, 1250 * newtons_a_gram, 1e-9);
}

TEST(ReadingsTable, OfABandStretchedPastAMetreIsRefused) {
  const ReadSpringReadings read = read_spring_readings("extension_mm,grams\n6,300\n970,800\n", "band.csv", 40);
  ASSERT_THAT(read.problems, SizeIs(1));
  EXPECT_EQ(read.problems[0].place.line, 3);
  EXPECT_THAT(read.problems[0].text, HasSubstr("1010 mm long"));
  EXPECT_TRUE(read_spring_readings("length_mm,grams\n1000,262\n", "coil.csv", std::nullopt).readings);
}

TEST(ReadingsTable, ProblemsOfAllLinesAreToldAtOnce) {
  const ReadSpringReadings read =
      read_spring_readings("length_mm,grams\n54,x\n52,300\n50,y\n", "coil.csv", std::nullopt);
  ASSERT_THAT(read.problems, SizeIs(2));
  EXPECT_EQ(read.problems[0].place.line, 2);
  EXPECT_EQ(read.problems[1].place.line, 4);
}

// ------------------------------------------------------------------------------------ pressing and releasing

std::vector<Pass> passes(const std::string& text) {
  std::vector<Pass> all;
  for (const SpringReading& reading : read(text)) all.push_back(reading.pass);
  return all;
}

constexpr Pass more = Pass::more, less = Pass::less, unknown = Pass::unknown;

TEST(Passes, AreToldByTheOrderOfTheLengths) {
  EXPECT_EQ(passes("mm,g\n54,300\n50,500\n46,700\n50,450\n54,250\n"), (std::vector{more, more, more, less, less}));
  EXPECT_EQ(passes("mm,g\n46,700\n50,450\n54,250\n50,500\n46,750\n"), (std::vector{less, less, less, more, more}));
  // Read twice at the turn: nothing moved between the two.
  EXPECT_EQ(passes("mm,g\n54,300\n50,500\n46,700\n46,702\n50,450\n54,250\n"),
            (std::vector{more, more, more, more, less, less}));
}

TEST(Passes, OfABandAreMoreTowardsItsGreaterLength) {
  EXPECT_EQ(passes("mm,g\n45,100\n55,300\n65,500\n55,270\n45,80\n"), (std::vector{more, more, more, less, less}));
}

TEST(Passes, AreNotTakenFromReadingsThatWereShuffled) {
  EXPECT_EQ(passes("mm,g\n54,300\n46,700\n52,400\n48,600\n50,500\n"), std::vector(5, unknown));
}

TEST(Passes, OfAColumnGoBeforeTheOrder) {
  EXPECT_EQ(passes("mm,g,pass\n54,300,Pressing\n50,500,load\n46,700,\n50,450,releasing\n"),
            (std::vector{more, more, unknown, less}));
}

// ------------------------------------------------------------------------------------ anything at all

TEST(ReadingsTable, AnyTextIsReadOrRefusedWithAHint) {
  const int rounds = scaled(2000, 50);
  const std::string sound = "\xEF\xBB\xBFlength_mm;grams;pass\r\n54,5;262;load\r\n\"48\";640,5;\r\n# end\n";
  const std::string odd = ";,\t\"#\n\r.-+eE0159 \xC2\xA0\xFFmg";
  std::mt19937 random(7);  // NOLINT: repeatable on purpose
  for (int round = 0; round < rounds; ++round) {
    std::string text = sound;
    for (std::size_t changes = 1 + random() % 6; changes > 0; --changes) {
      const std::size_t at = random() % text.size();
      switch (random() % 3) {
        case 0:
          text[at] = odd[random() % odd.size()];
          break;
        case 1:
          text.insert(at, 1, odd[random() % odd.size()]);
          break;
        default:
          text.erase(at, 1 + random() % 3);
      }
      if (text.empty()) text = ";";
    }
    const ReadSpringReadings read = read_spring_readings(text, "coil.csv", std::nullopt);
    EXPECT_NE(read.readings.has_value(), !read.problems.empty()) << text;
    for (const Problem& problem : read.problems) EXPECT_NE(problem.hint, "") << problem.text;
  }
}

}  // namespace
}  // namespace ridepitch
