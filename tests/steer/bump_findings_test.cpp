// What is said of bump steer and of lock clearance: each finding at its limit, with its numbers and a remedy.

#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>

#include "rigs/models.hpp"
#include "rigs/rest.hpp"
#include "steer/standing.hpp"
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

TEST(BumpFindings, ATouchFoundByASearchThatStoppedEarlyIsSureButTheRangeThatClearsIsNot) {
  Steering steering = rack();
  LockClearance& clearance = steering.clearance.emplace();
  clearance.gaps.emplace_back().gap_mm = -2;
  clearance.clear = clearance.complete = false;
  clearance.clear_drive = {{-10, 7.5}};
  const std::vector<Finding> found = judge_steering({steering});
  ASSERT_EQ(found.size(), 2u);
  EXPECT_EQ(found[1].code, "no-room");
  EXPECT_THAT(found[1].text, HasSubstr("would still clear, as far as was searched"));
}

TEST(SteeringFindings, ARangeWhoseEndWasNotReachedIsNotSure) {
  Steering steering = rack();
  steering.ends = {"stroke", search_limit};
  const std::vector<Finding> found = judge_steering({steering});
  ASSERT_EQ(found.size(), 1u);
  EXPECT_EQ(found[0].code, "range-not-sure");
  EXPECT_EQ(found[0].level, Level::note);
  EXPECT_THAT(found[0].text, HasSubstr("stopped at 10.0 mm: it may go farther"));
}

TEST(BumpFindings, ADeadPointAtRestIsAProblemThatNamesTheWheel) {
  Steering steering = rack();
  steering.bump = {wheel(std::nan(""))};
  steering.bump[0].dead_point = true;
  const std::vector<Finding> found = judge_steering({steering});
  ASSERT_EQ(found.size(), 1u);
  EXPECT_EQ(found[0].code, "near-dead-point");
  EXPECT_EQ(found[0].level, Level::problem);
  EXPECT_EQ(found[0].where, "front left/hub");
}

TEST(SteeringFindings, ADeadPointWithTheDriveAtZeroIsAProblem) {
  Steering steering = rack();
  SteeredWheel& wheel = steering.wheels.emplace_back();
  wheel.lock_deg = {-20, 20};
  wheel.rate_deg = std::nan("");
  const std::vector<Finding> found = judge_steering({steering});
  ASSERT_EQ(found.size(), 1u);
  EXPECT_EQ(found[0].code, "near-dead-point");
  EXPECT_EQ(found[0].level, Level::problem);
  EXPECT_THAT(found[0].text, HasSubstr("at 0.0 mm"));
}

/// As `solve` asks for them.
std::vector<Finding> quick_findings(const Model& model, const Solution& solution) {
  SteerResult result;
  if (is_steered(model)) result = steer(model, solution, {.points = 2, .only_findings = true});
  return steering_findings(model, result);
}

// What `solve` tells of a steering is what `steer` tells, told sooner.
TEST(SteeringFindings, AreThoseOfAllThatIsWorkedOut) {
  const std::string walls = "[[keepout]]\nname = \"wall\"\nat = [0, 0, 4]\nsize = [60, 12, 8]\n";
  std::vector<Model> models;
  for (const char* name : {"scout-car", "slate-carrier", "bark-dumper", "peat-crab"}) models.push_back(demo(name));
  models.push_back(demo_with("slate-carrier", walls));
  models.push_back(demo_with("scout-car", walls));
  const auto words = [](const Finding& f) { return fmt::format("{} {} {} {}", f.code, f.where, f.text, f.remedy); };
  std::size_t touching = 0;
  for (const Model& model : models) {
    const Solution solution = solved(model);
    const SteerResult full = steer(model, solution);
    ASSERT_TRUE(full.steered.has_value());
    const std::vector<Finding> quick = quick_findings(model, solution);
    ASSERT_EQ(quick.size(), full.steered->findings.size()) << model.name;
    for (std::size_t i = 0; i < quick.size(); ++i) {
      EXPECT_EQ(words(quick[i]), words(full.steered->findings[i])) << model.name;
      EXPECT_EQ(quick[i].level, full.steered->findings[i].level);
      touching += quick[i].code == "no-room" ? 1 : 0;
    }
  }
  EXPECT_GT(touching, 0u);
}

TEST(SteeringFindings, OfAModelThatSteerRefusesIsAProblemThatSaysWhy) {
  Model model = demo("slate-carrier");
  model.corners[static_cast<std::size_t>(steering_corner(model))].at_mm.x() += 20;  // over a module
  const std::vector<Finding> found = quick_findings(model, solved(model));
  ASSERT_FALSE(found.empty());
  EXPECT_EQ(found[0].code, "same-as-far");
  EXPECT_EQ(found[0].level, Level::problem);
}

TEST(SteeringFindings, AreNoneWhereNothingIsSteered) {
  const Model model = demo("quarry-hauler");
  EXPECT_TRUE(quick_findings(model, solved(model)).empty());
}

}  // namespace
}  // namespace ridepitch
