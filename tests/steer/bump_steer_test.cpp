// Bump steer against published and closed forms.
//
// The double wishbone in the front plane, y outboard, mm: lower arm (20, 24)-(64, 20), upper arm (24, 56)-(58, 60), contact
// (72, 0); instant centre (-131.17948718, 37.74358974). Its tie rod's outer ball (62, 34) is fixed to the upright. Source:
// plane geometry, loop closure; rule "inner ball on the line from the outer ball to the instant centre: no slope".

#include "steer/bump_steer.hpp"

#include <array>
#include <cmath>
#include <string>
#include <utility>

#include <fmt/format.h>
#include <gtest/gtest.h>

#include "model/units.hpp"
#include "steer/carry.hpp"
#include "steer/knuckle.hpp"
#include "steer/standing.hpp"

namespace ridepitch {
namespace {

constexpr double no_slope = 1e-5;  // degree per 10 mm: 1e-6 degree per mm

const Vec2 instant_centre(-131.17948718, 37.74358974);

// Where the tie rod's inner end is, mm: across, and its height; and how far before the axle the rod lies.
struct Inner {
  double y = 22, z = 34.775153;
  double arm = 24;
};

// One wheel on the bench, modules of 1 mm. A torsion spring holds it where the linkage is drawn: the wheel rises by
// dz/dtheta for a turn of the lower arm, so that rate (free - 0) + load dz/dtheta = 0.
std::string double_wishbone(const Inner& inner) {
  const double load_n = 10, rate = 40;
  const double rise = 44 / (64 - instant_centre.x()) * (72 - instant_centre.x());
  return fmt::format(R"(format = 1
name = "Double wishbone"
module_mm = 1.0
[linkage.wishbone]
plane = "front"
[linkage.wishbone.body]
chassis = {{ holes = {{ low = [20, 24], high = [24, 56] }} }}
lower = {{ holes = {{ root = [0, 0], ball = [44, -4] }}, near = {{ ball = [64, 20] }} }}
upper = {{ holes = {{ root = [0, 0], ball = [34, 4] }}, near = {{ ball = [58, 60] }} }}
upright = {{ holes = {{ low = [0, 0], high = [-6, 40], contact = [8, -20] }}, near = {{ high = [58, 60] }} }}
[[linkage.wishbone.pin]]
join = ["chassis.low", "lower.root"]
[[linkage.wishbone.pin]]
join = ["chassis.high", "upper.root"]
[[linkage.wishbone.pin]]
join = ["lower.ball", "upright.low"]
[[linkage.wishbone.pin]]
join = ["upper.ball", "upright.high"]
[linkage.wishbone.spring.twist]
kind = "torsion"
between = ["chassis", "lower"]
rate_n_mm_per_deg = {rate:.17g}
free_deg = {free:.17g}
min_deg = -15
max_deg = 15
[linkage.wishbone.wheel.hub]
at = "upright.contact"
part = "tyre-62"
[linkage.steer]
plane = "top"
[linkage.steer.body]
chassis = {{ holes = {{ king = [0, 64], inner = [{arm:.17g}, {y:.17g}] }} }}
knuckle = {{ holes = {{ king = [0, 0], arm = [{arm:.17g}, -2], hub = [0, 8] }}, near = {{ arm = [{arm:.17g}, 62] }} }}
[[linkage.steer.pin]]
join = ["chassis.king", "knuckle.king"]
[linkage.steer.rod.tie]
from = "chassis.inner"
to = "knuckle.arm"
length = {length:.17g}
height = [{z:.17g}, 34]
[linkage.steer.wheel.left]
at = "knuckle.hub"
part = "tyre-62"
ahead = [1, 0]
same_as = "left/hub"
[[corner]]
name = "left"
linkage = "wishbone"
at = [0, 0, 0]
load_n = {load:.17g}
[[corner]]
name = "steering"
linkage = "steer"
at = [0, 0, 20]
)",
                     fmt::arg("rate", rate), fmt::arg("free", -load_n * rise / rate), fmt::arg("load", load_n),
                     fmt::arg("arm", inner.arm), fmt::arg("y", inner.y), fmt::arg("z", inner.z),
                     fmt::arg("length", 62 - inner.y));
}

BumpSteer of_wishbone(const Inner& inner) {
  const auto wheels = straight_bump_steer(standing(read_rig(double_wishbone(inner))));
  EXPECT_EQ(wheels.size(), 1u);
  if (wheels.empty() || !wheels[0].straight || !wheels[0].zero) {
    ADD_FAILURE() << "no bump steer";
    return {};
  }
  return wheels[0];
}

TEST(BumpSteerOfADoubleWishbone, RestsAsDrawn) {
  const Standing at = standing(read_rig(double_wishbone({})));
  EXPECT_NEAR(at.solution.corners[0].wheels[0].centre_C_mm.x(), 72, 1e-8);
  EXPECT_NEAR(at.solution.corners[0].wheels[0].centre_C_mm.y(), 0, 1e-8);
}

// Distance of the two balls less the rod's length, the knuckle not turning, at four turns of the lower arm: the contact's
// and the upright's place as tabled with the linkage, to six digits after the point.
TEST(BumpSteerOfADoubleWishbone, PullsTheRodAsTabled) {
  struct Station {
    double dz, dy, turn_deg;
    std::array<double, 3> gap;  // on the line, 3 mm higher, on the line with a short rod
  };
  constexpr std::array<Station, 4> stations{{
      {-7.852116, -2.080799, -2.042074, {-0.001542, 0.555927, 0.236050}},
      {-3.965792, -0.891606, -1.071924, {-0.000607, 0.281007, 0.059273}},
      {4.020196, 0.594033, 1.187719, {-0.001142, -0.286315, 0.059182}},
      {8.070733, 0.894125, 2.509391, {-0.005863, -0.577489, 0.235280}},
  }};
  const std::array<Inner, 3> inners{{{22, 34.775153}, {22, 37.775153}, {32, 34.581364}}};
  Corner corner;
  for (std::size_t i = 0; i < 3; ++i)
    for (const Station& station : stations) {
      const CarrierPlace rest{Vec2(72, 0), {}};
      CarrierPlace now{Vec2(72 + station.dy, station.dz), {}};
      now.motion.turn_rad = station.turn_deg * rad_per_deg;
      const Vec3 outer(24, 62, 34), inner(24, inners[i].y, inners[i].z);
      const Vec3 ball = carried(carry(corner, Plane::front, rest, now), outer);
      EXPECT_NEAR((ball - inner).norm() - (outer - inner).norm(), station.gap[i], 3e-6) << i << " at " << station.dz;
    }
}

TEST(BumpSteerOfADoubleWishbone, HasNoSlopeWithItsInnerBallOnTheLineToTheInstantCentre) {
  EXPECT_NEAR(of_wishbone({22, 34.775153}).straight->rest_slope_deg_per_10mm, 0, no_slope);
  EXPECT_NEAR(of_wishbone({32, 34.581364}).straight->rest_slope_deg_per_10mm, 0, no_slope);
}

// d gap/dz = -0.070993 is tabled for an inner ball 3 mm higher. With the rod across and the arm 24 mm before the kingpin a
// turn psi takes up w.(a x r) psi / |w|, w from the inner to the outer ball: psi' = -gap' |w| / (24 * 40).
TEST(BumpSteerOfADoubleWishbone, HasTheTabledSlopeWithItsInnerBallThreeMillimetresHigher) {
  const BumpSteer wheel = of_wishbone({22, 37.775153});
  const double w = std::hypot(40, 34 - 37.775153);
  EXPECT_NEAR(wheel.straight->rest_slope_deg_per_10mm, 10 * 0.070993 * w / (24 * 40) / rad_per_deg, 2e-5);
  // Tabled as atan(gap / arm): 1.326942 degree at -7.852116 mm, -1.378386 at 8.070733: that leaves out how the rod leans (4 %).
  double low = 0, high = 0;
  for (const BumpPoint& point : wheel.straight->points) {
    const double rise = point.travel_mm - wheel.straight->rest_travel_mm;
    if (rise < -7.852116) low = point.toe_deg;
    if (rise < 8.070733) high = point.toe_deg;
  }
  EXPECT_NEAR(std::abs(low), 1.326942, 0.06);
  EXPECT_NEAR(std::abs(high), 1.378386, 0.06);
  EXPECT_LT(low * high, 0);  // wrong height: opposite signs
}

// The rod lies across and the ball 2 mm inboard of the kingpin: how far it is ahead of it is the rod's lever. The slope is that
// of the test above with this lever in place of 24, until rod and arm are in one line.
TEST(BumpSteerOfADoubleWishbone, IsToldDownToAHundredthOfALeverAndNotBesideTheDeadPoint) {
  const double w = std::hypot(40, 34 - 37.775153);
  const BumpSteer told = of_wishbone({22, 37.775153, 0.02});
  EXPECT_FALSE(told.dead_point);
  EXPECT_NEAR(told.straight->rest_slope_deg_per_10mm * 0.02, 10 * 0.070993 * w / 40 / rad_per_deg, 2e-2);
  for (const double lever_mm : {1e-3, 1e-6, -1e-6, 1e-8, 0.0}) {
    const auto wheels = straight_bump_steer(standing(read_rig(double_wishbone({22, 37.775153, lever_mm}))));
    ASSERT_EQ(wheels.size(), 1u);
    EXPECT_TRUE(wheels[0].dead_point) << lever_mm;
    const auto& [straight, zero] = std::pair{wheels[0].straight, wheels[0].zero};
    EXPECT_TRUE(!straight || std::isnan(straight->rest_slope_deg_per_10mm)) << lever_mm;
    EXPECT_TRUE(!zero || std::isnan(zero->now.slope_deg_per_10mm)) << lever_mm;
  }
}

TEST(BumpSteerOfADoubleWishbone, OfAShortRodGoesTheSameWayUpAndDown) {
  const BumpCurve curve = *of_wishbone({32, 34.581364}).straight;
  EXPECT_GT(curve.points.front().toe_deg * curve.points.back().toe_deg, 0);
}

TEST(BumpSteerOfADoubleWishbone, IsToeThatItsSlopeAddsUpTo) {  // the trapezium rule: 1e-4 degree
  const BumpCurve curve = *of_wishbone({22, 37.775153}).straight;
  double toe = curve.points.front().toe_deg;
  for (std::size_t i = 1; i < curve.points.size(); ++i) {
    const BumpPoint &a = curve.points[i - 1], &b = curve.points[i];
    toe += (b.travel_mm - a.travel_mm) * (a.slope_deg_per_10mm + b.slope_deg_per_10mm) / 20;
    ASSERT_NEAR(b.toe_deg, toe, 1e-4);
  }
}

// -------------------------------------------------------------------- what would make it zero

TEST(NoBumpSteer, IsAtTheHeightOfTheLineToTheInstantCentre) {
  const BumpSteer low = of_wishbone({22, 30}), near = of_wishbone({32, 40});
  EXPECT_NEAR(low.zero->upright->height, 34.775153, 1e-6);
  EXPECT_NEAR(near.zero->upright->height, 34.581364, 1e-6);
  EXPECT_NEAR(low.zero->upright->hole.y(), 22, 1e-12);
  EXPECT_NEAR(low.zero->upright->slope_deg_per_10mm, 0, 1e-9);
  EXPECT_NEAR(low.zero->now.slope_deg_per_10mm, low.straight->rest_slope_deg_per_10mm, 1e-9);
}

TEST(NoBumpSteer, IsWhereTheLineCrossesTheHeightOfTheInnerEnd) {
  const BumpSteer wheel = of_wishbone({22, 37.775153});
  const Vec2 out = instant_centre - Vec2(62, 34);  // [y, z]
  EXPECT_NEAR(wheel.zero->level->hole.y(), 62 + out.x() * 3.775153 / out.y(), 1e-4);
  EXPECT_NEAR(wheel.zero->level->height, 37.775153, 1e-12);
}

TEST(NoBumpSteer, IsReachedByMovingTheInnerEndThere) {
  const BumpSteer wheel = of_wishbone({22, 37.775153});
  const InnerEnd& exact = wheel.zero->exact;
  const BumpSteer moved = of_wishbone({exact.hole.y(), exact.height});
  EXPECT_NEAR(exact.hole.x(), 24, 1e-12);  // nothing to be won along the car
  EXPECT_NEAR(moved.straight->rest_slope_deg_per_10mm, 0, no_slope);
  EXPECT_LT((Vec2(exact.hole.y(), exact.height) - Vec2(22, 37.775153)).norm(), 3 + 1e-9);  // nearer than straight down
}

TEST(NoBumpSteer, IsNearestAtTheHoleInWholeStepsFromTheOneItHas) {
  const BumpSteer wheel = of_wishbone({22, 38.9});
  const InnerEnd& hole = wheel.zero->hole;
  EXPECT_NEAR(hole.hole.y(), 22, 1e-12);
  EXPECT_NEAR(hole.height, 34.9, 1e-9);  // 4 down: 0.12 over the line
  const BumpSteer moved = of_wishbone({22, 34.9});
  EXPECT_NEAR(hole.slope_deg_per_10mm, moved.straight->rest_slope_deg_per_10mm, 1e-9);
  EXPECT_NEAR(hole.rod_length, std::hypot(40, 0.9), 1e-9);
}

// ----------------------------------------------------------------------------- none at all

std::string parallel_wishbones() {
  std::string text = double_wishbone({20, 34});
  const auto put = [&](const std::string& from, const std::string& to) {
    const auto at = text.find(from);
    ASSERT_NE(at, std::string::npos) << from;
    text.replace(at, from.size(), to);
  };
  // Arms of 40 mm, level, 32 mm apart; the tie rod from 20 to 60 at 34 high.
  put("low = [20, 24], high = [24, 56]", "low = [20, 24], high = [20, 56]");
  put("ball = [44, -4]", "ball = [40, 0]");
  put("ball = [64, 20]", "ball = [60, 24]");
  put("ball = [34, 4]", "ball = [40, 0]");
  put("ball = [58, 60]", "ball = [60, 56]");
  put("high = [-6, 40], contact = [8, -20]", "high = [0, 32], contact = [12, -24]");
  put("high = [58, 60]", "high = [60, 56]");
  put("king = [0, 64], inner", "king = [0, 61], inner");
  put("arm = [24, -2]", "arm = [24, -1]");
  put("arm = [24, 62]", "arm = [24, 60]");
  put("length = 42", "length = 40");
  const auto free = text.find("free_deg = ");
  text.replace(free, text.find('\n', free) - free,
               fmt::format("free_deg = {:.17g}", -10.0));  // 10 N * 40 mm / 40 N mm per degree
  return text;
}

TEST(BumpSteer, IsNothingWithEqualParallelWishbonesAndAnEqualParallelTieRod) {
  const auto wheels = straight_bump_steer(standing(read_rig(parallel_wishbones())));
  ASSERT_TRUE(wheels[0].straight);
  ASSERT_GT(wheels[0].straight->points.size(), 100u);
  EXPECT_GT(wheels[0].straight->points.back().travel_mm, 15);
  for (const BumpPoint& point : wheels[0].straight->points) {
    EXPECT_NEAR(point.toe_deg, 0, 1e-9);
    EXPECT_NEAR(point.slope_deg_per_10mm, 0, 1e-9);
  }
  EXPECT_NEAR(wheels[0].zero->exact.height, 34, 1e-9);
}

// Upright kingpins on trailing arms, rods across in the plane of the pins: at rest the balls rise straight up or along.
TEST(BumpSteer, TakesRodsWithoutHeightsInThePlaneOfTheTopLinkage) {
  const auto wheels = straight_bump_steer(standing(read_rig(model_text("upright-pins"))));
  ASSERT_EQ(wheels.size(), 2u);
  EXPECT_FALSE(wheels[0].heights_given);
  EXPECT_NEAR(wheels[0].straight->rest_slope_deg_per_10mm, 0, 1e-9);
  EXPECT_EQ(wheels[0].rod, "tie-left");
  EXPECT_EQ(wheels[1].same_as, "front right/hub");
}

TEST(BumpSteer, OfTheTwoSidesIsMirrored) {
  const auto wheels = straight_bump_steer(standing(read_rig(model_text("wishbones"))));
  ASSERT_EQ(wheels.size(), 2u);
  const BumpCurve &left = *wheels[0].straight, &right = *wheels[1].straight;
  ASSERT_EQ(left.points.size(), right.points.size());
  for (std::size_t i = 0; i < left.points.size(); ++i)
    EXPECT_NEAR(left.points[i].toe_deg, -right.points[i].toe_deg, 1e-9);
  EXPECT_NEAR(wheels[0].zero->exact.height, wheels[1].zero->exact.height, 1e-9);
  EXPECT_NEAR(wheels[0].zero->exact.hole.y(), -wheels[1].zero->exact.hole.y(), 1e-9);
}

TEST(BumpSteer, EndsWhereTheTieRodDoesNotReach) {
  const auto wheels = straight_bump_steer(standing(read_rig(model_text("upright-pins"))));
  EXPECT_TRUE(wheels[0].straight->rod_ends_bump);
  EXPECT_FALSE(wheels[0].straight->rod_ends_droop);
}

TEST(BumpSteer, GivesStaticToeAsDrawn) {  // atan(1/30), drawn backwards in a flipped linkage
  const auto wheels = straight_bump_steer(standing(read_rig(model_text("leading-arms"))));
  EXPECT_NEAR(wheels[0].toe_deg, std::atan(1.0 / 30) / rad_per_deg, 1e-9);
  EXPECT_NEAR(wheels[1].toe_deg, -std::atan(1.0 / 30) / rad_per_deg, 1e-9);
}

TEST(BumpSteer, NamesNoHoleWhereTheRodsInnerEndIsOnAnotherKnuckle) {
  const auto wheels = straight_bump_steer(standing(read_rig(model_text("live-axle"))));
  EXPECT_EQ(wheels[0].rod, "drag");
  EXPECT_TRUE(wheels[0].zero.has_value());
  EXPECT_EQ(wheels[1].rod, "track");
  EXPECT_TRUE(wheels[1].straight.has_value());
  EXPECT_FALSE(wheels[1].zero.has_value());
}

TEST(BumpSteer, IsNotThereForAWheelThatIsFixed) {
  std::string text = double_wishbone({});
  text = replaced(text, "high = [24, 56] }", "high = [24, 56], axle = [72, 0] }");
  text += "[linkage.wishbone.wheel.still]\nat = \"chassis.axle\"\npart = \"tyre-62\"\n";
  text = replaced(text, "left/hub", "left/still");
  const auto wheels = straight_bump_steer(standing(read_rig(text)));
  ASSERT_EQ(wheels.size(), 1u);
  EXPECT_FALSE(wheels[0].straight.has_value());
  EXPECT_FALSE(wheels[0].zero.has_value());
}

TEST(BumpSteer, IsNotThereForAKnuckleThatNoRodHolds) {
  std::string text = double_wishbone({});
  const auto from = text.find("[linkage.steer.rod.tie]"), to = text.find("[linkage.steer.wheel.left]");
  text.erase(from, to - from);
  const auto wheels = straight_bump_steer(standing(read_rig(text)));
  ASSERT_EQ(wheels.size(), 1u);
  EXPECT_EQ(wheels[0].rod, "");
  EXPECT_FALSE(wheels[0].straight.has_value());
}

TEST(BumpSteer, IsNotThereForAWalkingBeam) {
  const std::string text = R"(format = 1
name = "Beam"
[linkage.beam]
plane = "side"
[linkage.beam.body]
chassis = { holes = { middle = [0, 0] } }
beam = { holes = { middle = [0, 0], front = [5, 0], rear = [-5, 0] }, near = { front = [5, 0] } }
[[linkage.beam.pin]]
join = ["chassis.middle", "beam.middle"]
[linkage.beam.wheel.front]
at = "beam.front"
part = "tyre-62"
[linkage.beam.wheel.rear]
at = "beam.rear"
part = "tyre-62"
[linkage.steer]
plane = "top"
[linkage.steer.body]
chassis = { holes = { king = [5, 0], inner = [3, -4] } }
knuckle = { holes = { king = [0, 0], arm = [-2, 0], hub = [0, 1] }, near = { arm = [3, 0] } }
[[linkage.steer.pin]]
join = ["chassis.king", "knuckle.king"]
[linkage.steer.rod.tie]
from = "chassis.inner"
to = "knuckle.arm"
length = 4
[linkage.steer.wheel.left]
at = "knuckle.hub"
part = "tyre-62"
ahead = [1, 0]
same_as = "left/front"
[[corner]]
name = "left"
linkage = "beam"
at = [0, 8, 4]
load_n = 4
[[corner]]
name = "steering"
linkage = "steer"
at = [0, 7, 4]
)";
  const auto wheels = straight_bump_steer(standing(read_rig(text)));
  ASSERT_EQ(wheels.size(), 1u);
  EXPECT_FALSE(wheels[0].straight.has_value());
}

}  // namespace
}  // namespace ridepitch
