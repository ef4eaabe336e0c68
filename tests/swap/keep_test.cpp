#include "swap/keep.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace ridepitch {
namespace {

using testing::HasSubstr;

constexpr double as_written = 1e-15;

TEST(ReadKeep, NothingNamedKeepsTheDefaults) {
  const ReadKeep read = read_keep("");
  EXPECT_FALSE(read.problem);
  EXPECT_EQ(read.keep.ride_mm, 1);
  EXPECT_EQ(read.keep.rate_share, 0.05);
  EXPECT_EQ(read.keep.bump_share, 0.8);
}

TEST(ReadKeep, NamesAreMillimetresDegreesAndPercent) {
  const Keep keep = read_keep("ride=2.5,pitch=1,roll=0,rate=10%,bump=70,reserve=60%").keep;
  EXPECT_EQ(keep.ride_mm, 2.5);
  EXPECT_EQ(keep.pitch_deg, 1);
  EXPECT_EQ(keep.roll_deg, 0);
  EXPECT_NEAR(keep.rate_share, 0.1, as_written);
  EXPECT_NEAR(keep.bump_share, 0.7, as_written);
  EXPECT_NEAR(keep.reserve_share, 0.6, as_written);
}

TEST(ReadKeep, SteeringHasWordsOfItsOwn) {
  const Keep keep = read_keep("toe=0.3,lock=2,ideal=1.5,bump-steer=0.2,turned=4").keep;
  EXPECT_EQ(keep.toe_deg, 0.3);
  EXPECT_EQ(keep.lock_deg, 2);
  EXPECT_EQ(keep.ideal_deg, 1.5);
  EXPECT_EQ(keep.bump_steer_deg_per_10mm, 0.2);
  EXPECT_EQ(keep.turned_deg, 4);
}

TEST(ReadKeep, AFrequencyThatIsNotNamedFollowsTheRate) {
  EXPECT_NEAR(read_keep("rate=12").keep.frequency_share, 0.12, as_written);
  EXPECT_NEAR(read_keep("rate=12,frequency=3").keep.frequency_share, 0.03, as_written);
  EXPECT_NEAR(read_keep("frequency=3,rate=12").keep.frequency_share, 0.03, as_written);
}

TEST(ReadKeep, WhatIsWrongIsNamed) {
  EXPECT_THAT(read_keep("ride=1,ptich=2").problem->text, HasSubstr("'ptich'"));
  EXPECT_EQ(read_keep("ride=1,ptich=2").problem->hint, "did you mean 'pitch'?");
  for (const char* word : {"ride", "ride=", "ride=x", "ride=-1", "ride=1mm", "rate=nan", "ride=1e999", ","}) {
    EXPECT_TRUE(read_keep(word).problem) << word;
  }
}

}  // namespace
}  // namespace ridepitch
