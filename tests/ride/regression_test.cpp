// Each test shows a mistake that was once made.

#include <algorithm>
#include <cmath>
#include <string>

#include <gtest/gtest.h>

#include "rigs/models.hpp"
#include "rigs/rest.hpp"
#include "rigs/texts.hpp"

namespace ridepitch {
namespace {

const std::string tyre = "part = \"tyre-62\"\n";

// An arm that works a lever between two coils, loaded on the bench: the load has its top between two curve points.
std::string floating_lever(double load_n) {
  return "format = 1\nname = \"floating lever\"\n[linkage.series]\nplane = \"side\"\n[linkage.series.body]\n"
         "chassis = { holes = { pivot = [0, 0], rocker = [-3, 8], seat = [-9, 3] } }\n"
         "arm = { holes = { root = [0, 0], coil = [4, 0], axle = [8, 0] }, near = { axle = [8, 0] } }\n"
         "rocker = { holes = { root = [0, 0], near = [6, 0], far = [-4, 2] }, near = { near = [3, 8], far = [-7, 10] } "
         "}\n"
         "[[linkage.series.pin]]\njoin = [\"chassis.pivot\", \"arm.root\"]\n"
         "[[linkage.series.pin]]\njoin = [\"chassis.rocker\", \"rocker.root\"]\n"
         "[linkage.series.spring.upper]\nkind = \"coil\"\nfree_mm = 60\nsolid_mm = 40\nrate_n_per_mm = 0.9\npreload_n "
         "= 2\n"
         "from = \"rocker.far\"\nto = \"chassis.seat\"\ncount = 2\n"
         "[linkage.series.spring.lower]\nkind = \"coil\"\nfree_mm = 68\nsolid_mm = 46\nrate_n_per_mm = 0.8\npreload_n "
         "= 1.5\n"
         "from = \"arm.coil\"\nto = \"rocker.near\"\ncount = 2\n"
         "[linkage.series.wheel.hub]\nat = \"arm.axle\"\n" +
         tyre +
         "[[corner]]\nname = \"bench\"\nlinkage = \"series\"\nat = [0, 0, 0]\nload_n = " + std::to_string(load_n) +
         "\n";
}

// A quadratic through the three highest points of a smooth curve tops it to the third order of their spacing.
TEST(Regression, TheTopOfALoadBetweenTwoCurvePointsIsFoundWithInnerFreedomsToo) {
  const Solution solution = solved(read_rig(floating_lever(5)));
  ASSERT_EQ(solution.curves.size(), 1u);
  const auto& points = solution.curves[0].points;
  const auto top = std::max_element(points.begin(), points.end() - 1,
                                    [](const CurvePoint& a, const CurvePoint& b) { return a.load_n < b.load_n; });
  ASSERT_GT(top - points.begin(), 1);
  ASSERT_LT(top - points.begin(), 199);
  const double a = (top - 1)->load_n, b = top->load_n, c = (top + 1)->load_n;
  const double quadratic = b - (c - a) * (c - a) / (8 * (a - 2 * b + c));
  ASSERT_GT(quadratic, b + 1e-4);  // the case is one only if the top lies between points
  EXPECT_NEAR(*solution.corners[0].wheels[0].bump_load_n, quadratic, 5e-5);  // its third-order error at 0.4 mm spacing
}

// An arm of 64 mm whose coil runs from a hole 32 mm out to a seat 80 mm away: at the angle a between the two its length is
// sqrt(32^2 + 80^2 - 2 32 80 cos a), least, 48 mm, where the arm points at the seat (law of cosines).
std::string pointing_arm(double solid_mm, double load_n = 0.5) {
  return on_bench(arm({.seat = "[8, 6]",
                       .holes = "coil = [4, 0], axle = [8, 0]",
                       .more = coil("main", "arm.coil", "chassis.seat", 60, solid_mm, 0.5)}),
                  load_n);
}

double height_at_length(double length_mm, int side) {
  const double seat = std::atan2(6.0, 8.0);
  return 64 * std::sin(seat + side * std::acos((32 * 32 + 80 * 80 - length_mm * length_mm) / (2 * 32 * 80.0)));
}

TEST(Regression, TravelEndsAtAStopThatIsBarelyMet) {
  const WheelResult wheel = solved(read_rig(pointing_arm(48.0005))).corners[0].wheels[0];
  EXPECT_EQ(wheel.bump_end, "main solid");
  EXPECT_NEAR(*wheel.bump_total_mm, height_at_length(48.0005, -1) - height_at_length(60, -1), 1e-6);
}

// The coil can't be shorter than 48.2 mm, or 48.07 or 48.02, and would have to be 48 where the arm points at its seat: however
// much the wheel bears, it stays on this side of that.
TEST(Regression, AWheelRestsOnAStopThatIsMetByHundredthsOfAMillimetreOnly) {
  for (const double solid_mm : {48.2, 48.07, 48.02})
    for (const double load_n : {3.0, 10.0, 30.0}) {
      const WheelResult wheel = solved(read_rig(pointing_arm(solid_mm, load_n))).corners[0].wheels[0];
      EXPECT_EQ(wheel.state, WheelState::bottomed) << solid_mm << " mm, " << load_n << " N";
      EXPECT_NEAR(wheel.centre_C_mm.y(), height_at_length(solid_mm, -1), 1e-6) << solid_mm << " mm, " << load_n << " N";
    }
}

TEST(Regression, ACoilThatComesSquareToItsPathHasNoMargin) {
  const CornerResult corner = solved(read_rig(pointing_arm(47))).corners[0];
  EXPECT_EQ(corner.wheels[0].bump_end, "main free");  // drawn out again past the place where the arm points at the seat
  EXPECT_NEAR(*corner.wheels[0].bump_total_mm, height_at_length(60, +1) - height_at_length(60, -1), 1e-6);
  EXPECT_EQ(*corner.coil_margin_deg, 0.0);  // there the coil stands square to the path of its end, by geometry
}

// A wheel whose arm was put together past the upright: raised from rest it goes to the dead point on that side, where
// its coil is let out ever faster, so that the load falls without bound and has its greatest on the way.
TEST(Regression, FullBumpIsReachedFromRestAlsoPastADeadPoint) {
  const Solution solution = solved(read_file("tests/ride/models/past-the-top.toml"));
  ASSERT_FALSE(solution.corners.empty());
  const WheelResult& wheel = solution.corners[0].wheels[0];
  ASSERT_EQ(wheel.bump_end, "dead point");
  ASSERT_LT(*wheel.motion_ratio, 0);  // raising it lets the coil out
  ASSERT_TRUE(wheel.bump_load_n.has_value());
  const SpringResult& spring = solution.corners[0].springs[0];
  // At rest F MR, all equal coils counted: virtual work. The greatest is no less, and negative all the way.
  EXPECT_GE(*wheel.bump_load_n, *spring.total_force_n * *wheel.motion_ratio - 1e-9);
  EXPECT_LT(*wheel.bump_load_n, 0);
  for (const CurvePoint& point : solution.curves[0].points) {
    if (point.travel_mm >= *wheel.travel_mm) {
      EXPECT_LE(point.load_n, *wheel.bump_load_n + 1e-9);
    }
  }
}

// A coil far from the slide's own hole: the search began over a metre away and could not walk so far.
TEST(Regression, ASlideIsFoundWithinItsSpringsReachWithoutAHint) {
  const Solution solution =
      solved(read_rig(on_bench(upright({.top = 36, .free_mm = 300, .solid_mm = 100, .near_eye = ""}), 5)));
  ASSERT_EQ(solution.corners.size(), 1u);
  EXPECT_NEAR(*solution.corners[0].wheels[0].sag_mm, 10.0, 1e-9);  // 5 N on 0.5 N/mm: Hooke's law
}

// Pushed up for another stance, a beam whose wheels hang below its pin was turned over.
TEST(Regression, AWalkingBeamHasNoOtherStanceUpsideDown) {
  const Solution solution = solved(read_file("tests/oracle/models/beam-on-arm.toml"));
  ASSERT_TRUE(solution.vehicle.has_value());
  EXPECT_TRUE(solution.vehicle->other_stances.empty());
}

}  // namespace
}  // namespace ridepitch
