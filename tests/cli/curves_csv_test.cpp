#include "cli/curves_csv.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "cli/hand_built.hpp"
#include "cli/program.hpp"

namespace ridepitch {
namespace {

TEST(CurvesCsv, HasALineForEachPointOfEachWheel) {
  const std::vector<std::string> lines = lines_of(curves_csv(hand_built_hauler().solution));
  ASSERT_EQ(lines.size(), 1u + 4 * 3);
  EXPECT_EQ(lines[0], "corner,wheel,travel_mm,load_n,motion_ratio,wheel_rate_n_per_mm,main_length_mm,main_force_n");
  EXPECT_EQ(lines[2], "front left,hub,12.5,7.5,0.625,0.5,48.5,5.65");
  EXPECT_EQ(lines[12], "rear right,hub,25,13.75,0.625,0.5,41,10.3");
}

TEST(CurvesCsv, LeavesCellsEmptyWhereACornerHasNoSuchSpring) {
  Solution solution = hand_built_hauler().solution;
  solution.corners[3].springs[0].name = "soft";
  solution.curves[3].points[0].motion_ratio.reset();
  const std::vector<std::string> lines = lines_of(curves_csv(solution));
  EXPECT_THAT(lines[0], testing::EndsWith("main_length_mm,main_force_n,soft_length_mm,soft_force_n"));
  EXPECT_EQ(lines[1], "front left,hub,0,1.25,0.625,0.5,56,1,,");
  EXPECT_EQ(lines[10], "rear right,hub,0,1.25,,0.5,,,56,1");
}

TEST(CurvesCsv, GivesATorsionSpringsAngleInDegrees) {  // half a turn: pi radians are 180 degrees
  Solution solution = hand_built_hauler().solution;
  solution.curves.resize(1);
  solution.corners[0].springs[0].angle_deg = 1.0;
  solution.curves[0].points[0].spring_length_mm[0] = 3.141592653589793;
  const std::vector<std::string> lines = lines_of(curves_csv(solution));
  EXPECT_THAT(lines[0], testing::EndsWith("main_angle_deg,main_torque_n_mm"));
  EXPECT_THAT(lines[1], testing::HasSubstr(",180,"));
}

TEST(CurvesCsv, EndsWithTheWayOfTheWheelsThatHaveOne) {
  const std::vector<std::string> lines = lines_of(curves_csv(hand_built_on_floor().solution));
  EXPECT_THAT(lines[0],
              testing::EndsWith("main_force_n,camber_deg,track_change_mm,wheelbase_change_mm,roll_centre_mm"));
  EXPECT_EQ(lines[1], "front left,hub,0,1.25,0.625,0.5,56,1,1.25,-2.5,,30");
  EXPECT_EQ(lines[12], "rear right,hub,25,13.75,0.625,0.5,41,10.3,,,-4.5,");
}

TEST(CurvesCsv, QuotesNamesThatHoldCommasOrQuotes) {  // RFC 4180, section 2, rules 6 and 7
  Solution solution = hand_built_hauler().solution;
  solution.corners[0].name = "front, \"left\"";
  EXPECT_THAT(lines_of(curves_csv(solution))[1], testing::StartsWith("\"front, \"\"left\"\"\",hub,"));
}

}  // namespace
}  // namespace ridepitch
