// Lock clearance of wheels whose place has a closed form: each stands on an upright slide, its kingpin upright, turned by the
// drive itself.

#include "steer/lock_clearance.hpp"

#include <algorithm>
#include <cmath>
#include <ctime>
#include <string>

#include <fmt/format.h>
#include <gtest/gtest.h>

#include "model/units.hpp"
#include "rigs/texts.hpp"
#include "steer/standing.hpp"

namespace ridepitch {
namespace {

constexpr double radius_mm = 30, half_width_mm = 10;
constexpr double offset_mm = 16;  // of the wheel's centre from its kingpin
constexpr double king_y_mm = 64, rest_z_mm = 32;
constexpr double gap_mm = 1e-5;
constexpr double lock_deg = 0.01;

// A wheel left of the middle on the bench, at x = 0: droop 6 mm below rest, bump 14 mm above (64 mm coil, solid at 44,
// 3 N at 0.5 N/mm). Its drive turns the knuckle by up to 35 degrees either way.
std::string steered_wheel(const std::string& more) {
  return "format = 1\nname = \"Steered wheel\"\n" +
         upright({.name = "pillar", .top = 7.25, .tyre = "part = \"tyre-test\""}) + R"(
[linkage.steer]
plane = "top"
[linkage.steer.body]
chassis = { holes = { king = [0, 8] } }
knuckle = { holes = { king = [0, 0], hub = [0, 2] }, near = { hub = [0, 10] } }
[[linkage.steer.pin]]
join = ["chassis.king", "knuckle.king"]
[linkage.steer.drive]
pin = "chassis.king"
range_deg = [-35, 35]
[linkage.steer.wheel.left]
at = "knuckle.hub"
part = "tyre-test"
ahead = [1, 0]
same_as = "left/hub"
[[corner]]
name = "left"
linkage = "pillar"
at = [0, 10, 4]
load_n = 3
[[corner]]
name = "steering"
linkage = "steer"
at = [0, 0, 4]
)" + more;
}

// A box in mm, from one corner to the other.
std::string keepout(const std::string& name, const Vec3& low, const Vec3& high) {
  const Vec3 at = (low + high) / 16, size = (high - low) / 8;
  return fmt::format(
      "[[keepout]]\nname = \"{}\"\nat = [{:.17g}, {:.17g}, {:.17g}]\nsize = [{:.17g}, {:.17g}, {:.17g}]\n", name,
      at.x(), at.y(), at.z(), size.x(), size.y(), size.z());
}

struct WithClearance {
  Standing at;
  LockClearance clearance;
};

WithClearance look(std::string text, int most_cells = usual_clearance_cells) {
  const auto width = [](std::string from) {
    for (auto place = from.find("part = \"tyre-test\""); place != std::string::npos;
         place = from.find("part = \"tyre-test\""))
      from.replace(place, 18, "diameter_mm = 60\nwidth_mm = 20");
    return from;
  };
  WithClearance seen{standing(read_rig(width(std::move(text)))), {}};
  DrivePath way = drive_way(seen.at);
  seen.clearance = find_lock_clearance(seen.at.model, seen.at.solution, steering_corner(seen.at.model), &way,
                                       {way.least(), way.greatest()}, most_cells);
  return seen;
}

// y of the innermost point of the wheel turned by an angle, seen from above, at a height over its axle.
double innermost_y(double deg, double over_axle_mm) {
  const double a = deg * rad_per_deg;
  const double half_length = std::sqrt(std::max(0.0, radius_mm * radius_mm - over_axle_mm * over_axle_mm));
  return king_y_mm + offset_mm * std::cos(a) - half_length * std::abs(std::sin(a)) - half_width_mm * std::cos(a);
}

TEST(LockClearance, IsLeastAtFullLockBesideAWall) {
  const WithClearance seen = look(steered_wheel(keepout("frame", {-200, -200, -100}, {200, 40, 200})));
  ASSERT_EQ(seen.clearance.gaps.size(), 1u);
  const LeastGap& gap = seen.clearance.gaps[0];
  EXPECT_EQ(gap.wheel, "left/hub");
  EXPECT_EQ(gap.against, "frame");
  EXPECT_TRUE(gap.box);
  EXPECT_NEAR(gap.gap_mm, innermost_y(35, 0) - 40, gap_mm);
  EXPECT_NEAR(std::abs(gap.drive), 35, 1e-7);
  EXPECT_NEAR(gap.steer_deg, gap.drive, 1e-7);
  EXPECT_TRUE(seen.clearance.clear);
  ASSERT_TRUE(seen.clearance.clear_drive);
  EXPECT_NEAR((*seen.clearance.clear_drive)[0], -35, 1e-9);
  EXPECT_NEAR((*seen.clearance.clear_drive)[1], 35, 1e-9);
}

// Where the innermost point meets y = wall: by bisection on the closed form.
double lock_at_wall(double wall_y_mm, double over_axle_mm) {
  double low = 0, high = 35;
  for (int i = 0; i < 60; ++i)
    (innermost_y((low + high) / 2, over_axle_mm) > wall_y_mm ? low : high) = (low + high) / 2;
  return low;
}

TEST(LockClearance, GivesTheLockThatWouldStillClearAWall) {
  const WithClearance seen = look(steered_wheel(keepout("frame", {-200, -200, -100}, {200, 60, 200})));
  const double lock = lock_at_wall(60, 0);
  EXPECT_GT(lock, 5);
  EXPECT_LT(lock, 30);
  EXPECT_FALSE(seen.clearance.clear);
  EXPECT_NEAR(seen.clearance.gaps[0].gap_mm, innermost_y(35, 0) - 60, 1e-3);  // the wall is thick: out is straight out
  ASSERT_TRUE(seen.clearance.clear_drive);
  EXPECT_NEAR((*seen.clearance.clear_drive)[0], -lock, lock_deg);
  EXPECT_NEAR((*seen.clearance.clear_drive)[1], lock, lock_deg);
}

// A low rail: 20 mm below the axle at rest, 14 mm at full droop, so that there the tyre is met where it is widest.
TEST(LockClearance, FindsTheTravelAtWhichALowRailIsMet) {
  const double top = rest_z_mm - 20;
  const WithClearance seen = look(steered_wheel(keepout("rail", {-200, -200, -100}, {200, 60, top})));
  const double lock = lock_at_wall(60, 14);
  ASSERT_TRUE(seen.clearance.clear_drive);
  EXPECT_NEAR((*seen.clearance.clear_drive)[1], lock, lock_deg);
  EXPECT_NEAR(*seen.clearance.gaps[0].travel_mm, 0, 1e-3);
}

// A shelf over the tyre is met at full bump: its underside 14 + 30 mm over the axle at rest would just be touched.
TEST(LockClearance, FindsTheShelfOverTheTyreAtFullBump) {
  const WithClearance seen = look(steered_wheel(keepout("shelf", {-200, 0, rest_z_mm + 14 + 30 + 5}, {200, 200, 200})));
  EXPECT_NEAR(seen.clearance.gaps[0].gap_mm, 5, gap_mm);
  EXPECT_NEAR(*seen.clearance.gaps[0].travel_mm, 20, 1e-3);
  EXPECT_TRUE(seen.clearance.clear);
}

TEST(LockClearance, SaysThatNoLockClearsWhereSomethingTouchesStraightAhead) {
  const WithClearance seen =
      look(steered_wheel(keepout("frame", {-200, -200, -100}, {200, 72, 200})));  // the tyre begins at 70
  EXPECT_FALSE(seen.clearance.clear);
  EXPECT_LT(seen.clearance.gaps[0].gap_mm, -2 + gap_mm);
  EXPECT_FALSE(seen.clearance.clear_drive.has_value());
}

TEST(LockClearance, SeesAPostThatTheTyreSwingsInto) {
  // A post of 2 x 2 mm where the inner front corner of the tyre is at 20 degrees to the right, 1 mm inside it.
  const double a = -20 * rad_per_deg;
  const auto corner = [&](double x, double y) {
    return Vec2(std::cos(a) * x - std::sin(a) * y, king_y_mm + std::sin(a) * x + std::cos(a) * y);
  };
  const Vec2 post = corner(radius_mm - 1, offset_mm - half_width_mm + 1);
  const WithClearance seen =
      look(steered_wheel(keepout("post", {post.x() - 1, post.y() - 1, 0}, {post.x() + 1, post.y() + 1, 100})));
  EXPECT_FALSE(seen.clearance.clear);
  EXPECT_LT(seen.clearance.gaps[0].gap_mm, 0);
  ASSERT_TRUE(seen.clearance.clear_drive);
  EXPECT_GT((*seen.clearance.clear_drive)[0], -20);
  EXPECT_LT((*seen.clearance.clear_drive)[0], -10);
  EXPECT_NEAR((*seen.clearance.clear_drive)[1], 35, 1e-9);  // to the left it swings away
}

std::string rear_wheel(double x) {
  return fmt::format("[[corner]]\nname = \"rear\"\nlinkage = \"pillar\"\nat = [{:.17g}, 10, 4]\nload_n = 3\n", x / 8);
}

// Two wheels in one line, 70 mm apart: 10 mm straight ahead. At a lock the rear of the steered tyre swings off that line:
// straight ahead is nearest.
TEST(LockClearance, OfTwoWheelsInLineIsTheirDistanceLessTheirRadii) {
  const WithClearance seen = look(steered_wheel(rear_wheel(-70)));
  ASSERT_EQ(seen.clearance.gaps.size(), 1u);
  const LeastGap& gap = seen.clearance.gaps[0];
  EXPECT_EQ(gap.against, "rear/hub");
  EXPECT_FALSE(gap.box);
  // Where the kingpin lies beside the wheel, turning also carries the centre back by 16 sin, and the tyre's corner by
  // 10 sin: the plan of the tyre is a rectangle, whose rear corner lies at 16 sin + 30 cos + 10 sin behind the axle.
  double least = 1e9;
  for (double deg = -35; deg <= 35; deg += 0.001) {
    const double a = deg * rad_per_deg;
    // Its two rear corners, seen from above, and whether they lie before the rear tyre.
    for (const double side : {-1.0, 1.0}) {
      const double x = -offset_mm * std::sin(a) - radius_mm * std::cos(a) - side * half_width_mm * std::sin(a);
      const double y = offset_mm * std::cos(a) - radius_mm * std::sin(a) + side * half_width_mm * std::cos(a);
      const double beside = std::max(0.0, std::abs(y - offset_mm) - half_width_mm);
      least = std::min(least, std::hypot(x + 70 - radius_mm, beside));
    }
  }
  EXPECT_NEAR(gap.gap_mm, least, 1e-3);
  ASSERT_TRUE(gap.other_travel_mm);
  EXPECT_NEAR(*gap.travel_mm, *gap.other_travel_mm, 0.5);  // level with each other
}

TEST(LockClearance, OfAWheelThatCanMeetNothingIsNotGiven) {
  const WithClearance seen = look(steered_wheel(""));
  EXPECT_TRUE(seen.clearance.gaps.empty());
  EXPECT_TRUE(seen.clearance.clear);
}

TEST(LockClearance, CountsATyreWithoutWidthAsThin) {
  std::string text = steered_wheel(keepout("frame", {-200, -200, -100}, {200, 40, 200}));
  for (auto place = text.find("part = \"tyre-test\""); place != std::string::npos;
       place = text.find("part = \"tyre-test\""))
    text.replace(place, 18, "diameter_mm = 60");
  const WithClearance seen = look(text);
  const double a = 35 * rad_per_deg;
  EXPECT_NEAR(seen.clearance.gaps[0].gap_mm, king_y_mm + offset_mm * std::cos(a) - radius_mm * std::sin(a) - 40,
              gap_mm);
}

// The least gap to the shelf over the tyre is 5 mm (FindsTheShelfOverTheTyreAtFullBump); to the post beside it more.
TEST(LockClearance, SaysWhereItsSearchStoppedEarlyAndHowMuchLessAGapMayBe) {
  const std::string shelf = steered_wheel(keepout("shelf", {-200, 0, rest_z_mm + 14 + 30 + 5}, {200, 200, 200}));
  const WithClearance full = look(shelf);
  EXPECT_TRUE(full.clearance.complete);
  EXPECT_GT(full.clearance.gaps[0].bound_mm, full.clearance.gaps[0].gap_mm - 0.03);
  const WithClearance stopped = look(shelf, 1);
  EXPECT_FALSE(stopped.clearance.complete);
  EXPECT_GE(stopped.clearance.gaps[0].gap_mm, 5 - gap_mm);
  EXPECT_LE(stopped.clearance.gaps[0].bound_mm, 5);
}

TEST(LockClearance, IsFoundQuickly) {  // by the processor's clock: other work on the machine does not count
  const std::clock_t start = std::clock();
  look(model_text("wishbones") + keepout("engine", {100, -40, 0}, {190, 40, 80}) +
       keepout("sill", {40, 60, 0}, {100, 110, 40}));
  EXPECT_LT(static_cast<double>(std::clock() - start) / CLOCKS_PER_SEC, 10);
}

}  // namespace
}  // namespace ridepitch
