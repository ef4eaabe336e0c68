// What is said of bump steer and of lock clearance: each finding at its limit, with its numbers and a remedy.

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "steer/steer_findings.hpp"
#include "steer/steering.hpp"

namespace ridepitch {
namespace {

using testing::HasSubstr;

Steering rack() {
  Steering steering;
  steering.name = "steering";
  steering.range = {-10, 10};
  return steering;
}

BumpSteer wheel(double slope_deg_per_10mm) {
  BumpSteer out;
  out.same_as = "front left/hub";
  out.rod = "tie";
  out.straight =
      BumpCurve{.rest_slope_deg_per_10mm = slope_deg_per_10mm, .rest_travel_mm = 8, .points = {{0, 0, 0}, {20, 1, 1}}};
  return out;
}

TEST(BumpFindings, OverADegreeForTenMillimetresIsAWarningThatNamesTheHeightWithoutIt) {
  Steering steering = rack();
  steering.bump = {wheel(-1.01)};
  steering.bump[0].zero = ZeroSlope{};
  steering.bump[0].zero->now.height = 4;
  steering.bump[0].zero->upright =
      InnerEnd{.hole = Vec2(0, 5), .height = 3.5, .rod_length = 5, .slope_deg_per_10mm = 0};
  const std::vector<Finding> found = judge_steering({steering});
  ASSERT_EQ(found.size(), 1u);
  EXPECT_EQ(found[0].code, "steers-in-bump");
  EXPECT_EQ(found[0].level, Level::warning);
  EXPECT_EQ(found[0].where, "front left/hub");
  EXPECT_THAT(found[0].text, HasSubstr("1.0 degrees to the right"));
  EXPECT_THAT(found[0].remedy, HasSubstr("rod 'tie' 0.50 modules lower, at a height of 3.50"));
}

TEST(BumpFindings, ADegreeForTenMillimetresIsNone) {
  Steering steering = rack();
  steering.bump = {wheel(1)};
  EXPECT_TRUE(judge_steering({steering}).empty());
}

// The limit is our own (docs/findings.md): common practice, no source.
TEST(BumpFindings, PointingFarOffSomewhereInTheTravelIsAWarningThatSaysWhere) {
  Steering steering = rack();
  steering.bump = {wheel(0)};
  steering.bump[0].straight->points = {{0, -6, 0}, {20, -6.1, 0}};
  const std::vector<Finding> found = judge_steering({steering});
  ASSERT_EQ(found.size(), 1u);
  EXPECT_EQ(found[0].code, "steers-in-bump");
  EXPECT_THAT(found[0].text, HasSubstr("12.0 mm above rest it points 6.1 degrees to the right"));
  steering.bump[0].straight->points[1].toe_deg = 6;
  EXPECT_TRUE(judge_steering({steering}).empty());
}

TEST(BumpFindings, ARodThatDoesNotReachIsAProblemToldOnceAWheel) {
  Steering steering = rack();
  steering.bump = {wheel(0)};
  steering.bump[0].lock[0] = steering.bump[0].lock[1] = steering.bump[0].straight;
  steering.bump[0].lock[0]->rod_ends_bump = steering.bump[0].lock[1]->rod_ends_bump = true;
  const std::vector<Finding> found = judge_steering({steering});
  ASSERT_EQ(found.size(), 1u);
  EXPECT_EQ(found[0].code, "tie-rod-binds");
  EXPECT_EQ(found[0].level, Level::problem);
  EXPECT_THAT(found[0].text, HasSubstr("at -10.0 mm its tie rod reaches up to 20.0 mm"));
}

TEST(BumpFindings, ATyreThatTouchesIsAProblemWithTheLockThatClears) {
  Steering steering = rack();
  steering.clearance = LockClearance{.gaps = {{.wheel = "front left/hub",
                                               .against = "engine",
                                               .box = true,
                                               .gap_mm = -2,
                                               .drive = 10,
                                               .steer_deg = -30,
                                               .travel_mm = 12,
                                               .other_travel_mm = {}},
                                              {.wheel = "front right/hub",
                                               .against = "engine",
                                               .box = true,
                                               .gap_mm = 1,
                                               .drive = -10,
                                               .steer_deg = 30,
                                               .travel_mm = {},
                                               .other_travel_mm = {}}},
                                     .clear = false,
                                     .clear_drive = {{-10, 7.5}}};
  const std::vector<Finding> found = judge_steering({steering});
  ASSERT_EQ(found.size(), 1u);
  EXPECT_EQ(found[0].code, "no-room");
  EXPECT_THAT(found[0].text, HasSubstr("keepout 'engine' run 2.0 mm into each other at 10.0 mm and 12.0 mm of travel"));
  EXPECT_THAT(found[0].text, HasSubstr("from -10.0 to 7.5 mm would still clear"));
  steering.clearance->clear_drive.reset();
  EXPECT_THAT(judge_steering({steering})[0].text, HasSubstr("no lock clears it"));
}

TEST(BumpFindings, ASearchThatStoppedEarlySaysByHowMuchAGapMayBeLess) {
  Steering steering = rack();
  steering.clearance.emplace();
  for (const double bound_mm : {4.98, 2.5}) {
    LeastGap& gap = steering.clearance->gaps.emplace_back();
    gap.gap_mm = 5;
    gap.bound_mm = bound_mm;
  }
  EXPECT_TRUE(judge_steering({steering}).empty());
  steering.clearance->complete = false;
  const std::vector<Finding> found = judge_steering({steering});
  ASSERT_EQ(found.size(), 1u);
  EXPECT_EQ(found[0].code, "clearance-not-sure");
  EXPECT_EQ(found[0].level, Level::note);
  EXPECT_THAT(found[0].text, HasSubstr("may be 2.5 mm less than told"));
}

}  // namespace
}  // namespace ridepitch
