#include "cli/floor_words.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>

namespace ridepitch {
namespace {

using testing::ElementsAre;

Problem refused(const FloorWords& words) {
  const FloorOrProblem read = read_floor(words);
  EXPECT_FALSE(read.floor.has_value());
  EXPECT_TRUE(read.problem.has_value());
  return read.problem.value_or(Problem{});
}

TEST(FloorWords, SayNothingWhereNothingIsSaid) {
  const FloorOrProblem read = read_floor({});
  EXPECT_FALSE(read.floor.has_value());
  EXPECT_FALSE(read.problem.has_value());
}

TEST(FloorWords, AskAboutTheLevelFloor) {
  const FloorOrProblem read = read_floor({.asked = true, .blocks = {}, .slope = {}, .toward = {}});
  ASSERT_TRUE(read.floor.has_value());
  EXPECT_TRUE(read.floor->blocks.empty());
  EXPECT_EQ(read.floor->slope_rad, 0);
}

TEST(FloorWords, NameBlocksAndASlope) {
  const FloorOrProblem read =
      read_floor({.blocks = {"front left/hub=12", "a = b/hub=-3.5", "rear/hub=+2e1"}, .slope = "30", .toward = "rear"});
  ASSERT_TRUE(read.floor.has_value());
  ASSERT_EQ(read.floor->blocks.size(), 3u);
  EXPECT_EQ(read.floor->blocks[0].wheel, "front left/hub");
  EXPECT_EQ(read.floor->blocks[0].height_mm, 12);
  EXPECT_EQ(read.floor->blocks[1].wheel, "a = b/hub");  // the last sign counts: names may hold others
  EXPECT_EQ(read.floor->blocks[1].height_mm, -3.5);
  EXPECT_EQ(read.floor->blocks[2].height_mm, 20);
  EXPECT_NEAR(read.floor->slope_rad, M_PI / 6, 1e-15);
  EXPECT_EQ(read.floor->toward, Toward::rear);
}

TEST(FloorWords, RefuseABlockThatIsNoNumber) {
  for (const char* word : {"hub=ten", "hub=", "hub=12mm", "hub=nan", "hub=inf", "hub=1 2", "hub=0x10"}) {
    EXPECT_EQ(refused({.blocks = {word}}).code, "usage") << word;
  }
  EXPECT_EQ(refused({.blocks = {"rear left/hub=ten"}}).text,
            "the block under 'rear left/hub' is 'ten' high, which is not a number");
  EXPECT_EQ(refused({.blocks = {"rear left/hub=ten"}}).hint, "its height in mm, negative for a dip: 12 or -8.5");
}

TEST(FloorWords, SayHowToWriteADecimalComma) {
  EXPECT_EQ(refused({.blocks = {"rear left/hub=1,5"}}).hint, "write 1.5");
  EXPECT_EQ(refused({.slope = "7,5", .toward = "left"}).hint, "write 7.5");
}

TEST(FloorWords, RefuseABlockWithoutAWheelOrAHeight) {
  for (const char* word : {"rear left/hub", "=12", ""}) {
    EXPECT_EQ(refused({.blocks = {word}}).hint,
              "write the wheel and the height of its block in mm: --block \"rear left/hub=12\"");
  }
}

TEST(FloorWords, RefuseTwoBlocksUnderOneWheelAndBlocksOfMetres) {
  EXPECT_EQ(refused({.blocks = {"hub=1", "hub=2"}}).text, "two blocks stand under 'hub'");
  EXPECT_EQ(refused({.blocks = {"hub=1001"}}).hint, "heights are in mm, 1000 at most");
}

TEST(FloorWords, WantASlopeAndItsSideTogether) {
  EXPECT_EQ(refused({.slope = "10"}).text, "--slope does not say which side is downhill");
  EXPECT_EQ(refused({.toward = "left"}).text, "--toward does not say how steep the floor is");
}

TEST(FloorWords, RefuseASlopeThatIsNone) {
  for (const char* word : {"", "steep", "10deg", "-1", "90", "nan"}) {
    EXPECT_EQ(refused({.slope = word, .toward = "left"}).code, "usage") << word;
  }
  EXPECT_EQ(refused({.slope = "-1", .toward = "left"}).hint, "0 or more; --toward says which side is downhill");
  EXPECT_TRUE(read_floor({.slope = "0", .toward = "left"}).floor.has_value());
}

TEST(FloorWords, NameTheNearestSide) {
  EXPECT_EQ(refused({.slope = "1", .toward = "lft"}).hint, "did you mean 'left'?");
  EXPECT_EQ(refused({.slope = "1", .toward = "starboard"}).hint,
            "left, right, front or rear: the side that is downhill");
}

TEST(BlocksOnTheCommandLine, MayFollowOneOption) {
  EXPECT_THAT(with_every_block_named({"solve", "--block", "a/h=1", "b/h=2", "m.toml", "c/h=3", "--json"}),
              ElementsAre("solve", "--block", "a/h=1", "--block", "b/h=2", "m.toml", "c/h=3", "--json"));
  EXPECT_THAT(with_every_block_named({"solve", "--block=a/h=1", "b/h=2"}),
              ElementsAre("solve", "--block=a/h=1", "--block", "b/h=2"));
  EXPECT_THAT(with_every_block_named({"solve", "x/y=1", "--block", "--json"}),
              ElementsAre("solve", "x/y=1", "--block", "--json"));
  EXPECT_THAT(with_every_block_named({"solve", "--block", "a/h=1", "models/b=2.toml"}),
              ElementsAre("solve", "--block", "a/h=1", "models/b=2.toml"));
}

}  // namespace
}  // namespace ridepitch
