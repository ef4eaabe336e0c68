// What steering does: angles, locks, circles, ratios, followers, effort. Expected values are plane geometry on the
// linkage's own closed form, or definitions of docs/model-format.md, "Steering".

#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gsl/gsl_integration.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "model/read.hpp"
#include "ride/solve.hpp"
#include "steer/effort.hpp"
#include "steer/ideal.hpp"
#include "steer/steer_findings.hpp"
#include "steer/steered.hpp"

namespace ridepitch {
namespace {

using testing::HasSubstr;

/// A steering over the front wheels of the bench.
std::string machine(const RackSteering& rack, double x = 16, bool flip = false) {
  return four_wheels() + rack_steering(rack) + top_corner(rack.name, x, flip);
}

/// Angle of a knuckle [deg] for its rod's inner end, by the two circles that meet at its arm's end.
double knuckle_deg(const RackSteering& rack, double drive_mm, bool left) {
  const double side = left ? 1 : -1, arm_x = left ? rack.arm_x : rack.right_arm_x,
               rod = (left ? rack.rod : rack.right_rod) * module_mm;
  const Vec2 king(0, side * 6 * module_mm), arm(arm_x * module_mm, -side * rack.arm_in * module_mm);
  const Vec2 end(rack.guide_x * module_mm, side * (6 - rack.arm_in - rack.rod) * module_mm + drive_mm);
  const Vec2 way = end - king;
  const double e = way.norm(), along = (arm.squaredNorm() - rod * rod + e * e) / (2 * e);
  const double across = std::sqrt(arm.squaredNorm() - along * along);
  const Vec2 u = way / e, n(-u.y(), u.x());
  // Of the two, the one nearer to where the arm is drawn.
  const Vec2 one = along * u + across * n, other = along * u - across * n;
  const auto turn = [&](const Vec2& p) {
    return std::remainder(std::atan2(p.y(), p.x()) - std::atan2(arm.y(), arm.x()), 2 * std::numbers::pi);
  };
  const double a = turn(one), b = turn(other);
  return (std::abs(a) < std::abs(b) ? a : b) / per_deg;
}

TEST(Steering, TurnsItsWheelsAsTwoCirclesSay) {
  const RackSteering rack;
  const Steered all = steered(machine(rack), 25);
  ASSERT_EQ(all.steering.size(), 1u);
  const Steering& s = all.steering[0];
  EXPECT_EQ(s.name, "steer corner");
  EXPECT_FALSE(s.crank);
  EXPECT_EQ(s.range[0], -12);
  EXPECT_EQ(s.range[1], 12);
  EXPECT_EQ(s.ends[0], "stroke");
  ASSERT_EQ(s.sweep.size(), 25u);
  for (std::size_t i = 0; i < 25; ++i) {
    const SteerPoint& p = s.sweep[i];
    EXPECT_NEAR(p.drive, -12 + static_cast<double>(i), 1e-12);
    EXPECT_NEAR(p.steer_deg[0], knuckle_deg(rack, p.drive, true), 1e-9);
    EXPECT_NEAR(p.steer_deg[1], knuckle_deg(rack, p.drive, false), 1e-9);
    EXPECT_NEAR(*p.hand_turns, p.drive / (12 * std::numbers::pi), 1e-12);
  }
  EXPECT_EQ(s.sweep[12].drive, 0);
  EXPECT_NEAR(s.wheels[0].toe_deg, 0, 1e-9);
  EXPECT_NEAR(s.wheels[0].lock_deg[0], s.sweep.front().steer_deg[0], 1e-12);
  EXPECT_NEAR(s.wheels[1].lock_deg[1], s.sweep.back().steer_deg[1], 1e-12);
}

TEST(Steering, CurvesOfASymmetricLinkageAreMirrorImages) {
  const Steering s = steered(machine({}), 41).steering.at(0);
  for (std::size_t i = 0; i < 41; ++i) {
    const SteerPoint &p = s.sweep[i], &m = s.sweep[40 - i];
    EXPECT_NEAR(p.steer_deg[0], -m.steer_deg[1], 1e-12 / per_deg);
    ASSERT_TRUE(p.ackermann_error_deg && m.ackermann_error_deg);
    EXPECT_NEAR(*p.ackermann_error_deg, *m.ackermann_error_deg, 1e-12 / per_deg);
    EXPECT_EQ(p.turn_radius_mm.has_value(), m.turn_radius_mm.has_value());
  }
  EXPECT_FALSE(s.sweep[20].turn_radius_mm);  // straight on
  EXPECT_NEAR(*s.turn_circle_mm[0], *s.turn_circle_mm[1], 1e-6);
}

TEST(Steering, ErrorRadiusAndCirclesFollowFromTheAngles) {
  const Steering s = steered(machine({}), 25).steering.at(0);
  const double wheelbase = 32 * module_mm, track = 12 * module_mm;
  EXPECT_NEAR(*s.wheelbase_mm, wheelbase, 1e-9);
  EXPECT_NEAR(*s.track_mm, track, 1e-9);
  EXPECT_FALSE(s.behind);
  for (const SteerPoint& p : s.sweep) {
    if (p.drive == 0) continue;
    const bool to_left = p.steer_deg[0] > 0;
    const double inner = std::abs(p.steer_deg[to_left ? 0 : 1]) * per_deg,
                 outer = std::abs(p.steer_deg[to_left ? 1 : 0]) * per_deg;
    EXPECT_NEAR(*p.ackermann_error_deg, (outer - std::atan(1 / (1 / std::tan(inner) + track / wheelbase))) / per_deg,
                1e-9);
    // The outer wheel's centre stands 2 modules outside its kingpin and is carried round with it.
    const double x = wheelbase / 2 + 2 * module_mm * std::sin(outer);
    EXPECT_NEAR(*p.turn_radius_mm, (x + wheelbase / 2) / std::sin(outer), 1e-6);
    EXPECT_NEAR(p.turn_centre_mm->x(), -wheelbase / 2, 1e-9);
    EXPECT_EQ(p.turn_centre_mm->y() > 0, to_left);
  }
  // The outermost wheel is the outer steered one: twice its radius; tyre-69 is 28 mm wide (its width is in the kerb circle).
  EXPECT_NEAR(*s.turn_circle_mm[0], 2 * *s.sweep.front().turn_radius_mm, 1e-6);
  EXPECT_NEAR(*s.kerb_circle_mm[0] - *s.turn_circle_mm[0], std::get<Tyre>(built_in_parts().at("tyre-69").data).width_mm,
              1e-9);
  const double inner = s.sweep.front().steer_deg[0] * per_deg, outer = s.sweep.front().steer_deg[1] * per_deg;
  const double ideal = std::atan(1 / (1 / std::tan(inner) + track / wheelbase));
  EXPECT_NEAR(*s.ackermann_percent[0], 100 * (inner - outer) / (inner - ideal), 1e-6);
  EXPECT_NEAR(*s.least_radius_mm, *s.sweep.front().turn_radius_mm, 1e-6);
}

TEST(Steering, WorstAndMeanErrorAreThoseOfTheWholeRange) {
  const Steering s = steered(machine({}), 3).steering.at(0);
  // By a fine sum over the closed form, not over our points.
  const RackSteering rack;
  double worst = 0, sum = 0;
  constexpr int n = 20000;
  for (int i = 0; i <= n; ++i) {
    const double drive = -12 + 24.0 * i / n;
    const double left = knuckle_deg(rack, drive, true) * per_deg, right = knuckle_deg(rack, drive, false) * per_deg;
    const double inner = std::max(std::abs(left), std::abs(right)), outer = std::min(std::abs(left), std::abs(right));
    const double error = outer - std::atan2(std::sin(inner), std::cos(inner) + 12.0 / 32 * std::sin(inner));
    worst = std::max(worst, std::abs(error));
    sum += (i == 0 || i == n ? 0.5 : 1) * error * error;
  }
  EXPECT_NEAR(std::abs(*s.worst_error_deg), worst / per_deg, 1e-3);  // ours is the greatest of 201 points
  EXPECT_NEAR(*s.rms_error_deg, std::sqrt(sum / n) / per_deg, 1e-6);
}

TEST(Steering, PercentIsNoneWhereTheInnerWheelHardlyTurns) {  // under 1 degree: 0.3 mm of rack on arms of 24 mm
  const Steering s = steered(machine({.stroke = "[-0.04, 0.04]"})).steering.at(0);
  EXPECT_LT(*s.inner_lock_deg[0], 1);
  EXPECT_FALSE(s.ackermann_percent[0]);
  EXPECT_TRUE(s.turn_circle_mm[0]);
}

TEST(Steering, RatioIsHandWheelDegreesForTheWheelsMean) {
  const RackSteering rack{.drive = "pinion_teeth = 16\ntooth_module_mm = 1.25\ngear_ratio = 3"};
  const Steering s = steered(machine(rack)).steering.at(0);
  EXPECT_NEAR(*s.rack_mm_per_turn, std::numbers::pi * 16 * 1.25 / 3, 1e-12);
  EXPECT_NEAR(*s.turns_lock_to_lock, 24 / *s.rack_mm_per_turn, 1e-12);
  const double h = 1e-4;  // central difference of the closed form: error about h^2
  const double rate = (knuckle_deg(rack, h, true) - knuckle_deg(rack, -h, true)) / (2 * h);
  EXPECT_NEAR(s.wheels[0].rate_deg, rate, 1e-6);
  EXPECT_NEAR(*s.steering_ratio, 360 / *s.rack_mm_per_turn / std::abs(rate), 1e-4);
  EXPECT_FALSE(steered(machine({.drive = ""})).steering.at(0).rack_mm_per_turn);
}

TEST(Steering, FlippedItSteersTheOtherWay) {  // mirrored in x: the same rack movement turns the wheels the other way
  RackSteering rack{.ahead = "[-1, 0]", .end = "rear"};
  const Steering s = steered(machine(rack, -16, true)).steering.at(0);
  for (const SteerPoint& p : s.sweep) {
    EXPECT_NEAR(p.steer_deg[0], -knuckle_deg(rack, p.drive, true), 1e-9);
    EXPECT_NEAR(p.steer_deg[1], -knuckle_deg(rack, p.drive, false), 1e-9);
  }
  EXPECT_NEAR(s.wheels[0].toe_deg, 0, 1e-9);
  EXPECT_NEAR(*s.wheelbase_mm, 32 * module_mm, 1e-9);
  EXPECT_TRUE(s.behind);
}

TEST(Steering, AtTheRearTurnsTheVehicleToTheOtherSide) {
  const Steering s = steered(machine({.ahead = "[-1, 0]", .end = "rear"}, -16, true), 25).steering.at(0);
  for (const SteerPoint& p : s.sweep) {
    if (p.drive == 0) continue;
    // Wheels behind that point to the right swing the tail out: it turns to the left, about a point there.
    EXPECT_EQ(p.turn_centre_mm->y() > 0, p.steer_deg[0] < 0);
    const double inner = std::abs(p.steer_deg[p.steer_deg[0] < 0 ? 0 : 1]),
                 outer = std::abs(p.steer_deg[p.steer_deg[0] < 0 ? 1 : 0]);
    EXPECT_NEAR(*p.ackermann_error_deg, outer - ideal_outer_rad(inner * per_deg, 12, 32) / per_deg, 1e-9);
  }
}

TEST(Steering, OfEveryAxleTurnsAboutThePointNearestToAllAxes) {
  const RackSteering front{.name = "fore", .end = "front"};
  const RackSteering rear{.name = "aft", .drive = "follows = \"fore\"", .ahead = "[-1, 0]", .end = "rear"};
  const Steered all = steered(four_wheels() + rack_steering(front) + rack_steering(rear) + top_corner("fore", 16) +
                                  top_corner("aft", -16, true),
                              25);
  ASSERT_EQ(all.steering.size(), 2u);
  const Steering &a = all.steering[0], &b = all.steering[1];
  EXPECT_FALSE(a.wheelbase_mm);
  EXPECT_FALSE(a.worst_error_deg);
  EXPECT_FALSE(a.ackermann_percent[0]);
  for (std::size_t i = 0; i < 25; ++i) {
    EXPECT_NEAR(a.sweep[i].steer_deg[0], -b.sweep[i].steer_deg[0], 1e-9);
    EXPECT_FALSE(a.sweep[i].ackermann_error_deg);
    if (a.sweep[i].drive == 0) continue;
    // Front and rear are mirror images: the point lies on x = 0, the inner axes at one y there, the outer at another.
    ASSERT_TRUE(a.sweep[i].turn_centre_mm);
    EXPECT_NEAR(a.sweep[i].turn_centre_mm->x(), 0, 1e-6);
    EXPECT_EQ(a.sweep[i].turn_centre_mm->y() > 0, a.sweep[i].steer_deg[0] > 0);
    // Its y is the least of the sum of squares: sum over wheels of cos(angle)-weighted residues is 0.
    double slope = 0;
    for (std::size_t w = 0; w < 2; ++w) {
      const double angle = a.sweep[i].steer_deg[w] * per_deg, y = w == 0 ? 48 : -48, out = w == 0 ? 16 : -16;
      const Vec2 centre(128 - out * std::sin(angle), y + out * std::cos(angle)),
          heading(std::cos(angle), std::sin(angle));
      slope += heading.y() * heading.dot(*a.sweep[i].turn_centre_mm - centre);
    }
    EXPECT_NEAR(slope, 0, 1e-6);
  }
  // Half the radius of the same machine steered in front only, about: the circle is far smaller.
  EXPECT_LT(*a.turn_circle_mm[0], 0.7 * *steered(machine({})).steering.at(0).turn_circle_mm[0]);
}

TEST(Steering, OfFollowersGoesAsFarAsAllOfThemCan) {
  const RackSteering front{.name = "fore", .end = "front"};
  const RackSteering rear{.name = "aft",
                          .stroke = "[-0.5, 0.5]",
                          .drive = "follows = \"fore\"\nratio = -0.5",
                          .ahead = "[-1, 0]",
                          .end = "rear"};
  const Steered all = steered(four_wheels() + rack_steering(front) + rack_steering(rear) + top_corner("fore", 16) +
                              top_corner("aft", -16, true));
  const Steering &a = all.steering.at(0), &b = all.steering.at(1);
  // The rear rack's 4 mm are 8 mm of the front one, whose own stroke would be 12 mm.
  EXPECT_NEAR(a.range[0], -8, 1e-12);
  EXPECT_NEAR(a.range[1], 8, 1e-12);
  EXPECT_EQ(a.ends[0], "aft: stroke");
  EXPECT_NEAR(b.range[1], 4, 1e-12);
  EXPECT_EQ(b.ends[1], "stroke");
  EXPECT_EQ(b.follows, "fore");
  // Where the front rack stands at +8 mm the rear one stands at -4 mm.
  EXPECT_NEAR(b.sweep.front().steer_deg[0], -knuckle_deg(rear, -4, true), 1e-9);
  // The hand wheel's turn moves the rear rack half as far.
  EXPECT_NEAR(*b.rack_mm_per_turn, *a.rack_mm_per_turn / 2, 1e-12);
  EXPECT_NEAR(*b.turns_lock_to_lock, *a.turns_lock_to_lock, 1e-12);
}

TEST(Steering, ByACrankCountsInDegrees) {
  const std::string text = four_wheels() + R"(
[linkage.steer]
plane = "top"
[linkage.steer.body]
chassis = { holes = { left = [0, 6], right = [0, -6], crank = [-6, 6] } }
knuckle-left = { holes = { king = [0, 0], arm = [-3, 0], drag = [0, -3], hub = [0, 2] }, near = { hub = [0, 8] } }
knuckle-right = { holes = { king = [0, 0], arm = [-3, 0], hub = [0, -2] }, near = { hub = [0, -8] } }
crank = { holes = { pivot = [0, 0], drag = [0, -3] }, near = { drag = [-6, 3] } }
[[linkage.steer.pin]]
join = ["chassis.left", "knuckle-left.king"]
[[linkage.steer.pin]]
join = ["chassis.right", "knuckle-right.king"]
[[linkage.steer.pin]]
join = ["chassis.crank", "crank.pivot"]
name = "crank pivot"
[linkage.steer.rod.drag]
from = "crank.drag"
to = "knuckle-left.drag"
length = 6
[linkage.steer.rod.tie]
from = "knuckle-left.arm"
to = "knuckle-right.arm"
length = 12
[linkage.steer.drive]
pin = "crank pivot"
range_deg = [-25, 35]
gear_ratio = 4
[linkage.steer.wheel.left]
at = "knuckle-left.hub"
part = "tyre-69"
ahead = [1, 0]
same_as = "front left/hub"
[linkage.steer.wheel.right]
at = "knuckle-right.hub"
part = "tyre-69"
ahead = [1, 0]
same_as = "front right/hub"
)" + top_corner("steer", 16);
  const Steered all = steered(text, 13);
  const Steering& s = all.steering.at(0);
  EXPECT_TRUE(s.crank);
  EXPECT_NEAR(s.range[0], -25, 1e-12);
  EXPECT_NEAR(s.range[1], 35, 1e-12);
  // Two parallelograms in series: both wheels turn as the crank does.
  for (const SteerPoint& p : s.sweep)
    for (const double angle : p.steer_deg) EXPECT_NEAR(angle, p.drive, 1e-9);
  EXPECT_FALSE(s.rack_mm_per_turn);
  EXPECT_NEAR(*s.turns_lock_to_lock, 60.0 / 360 * 4, 1e-12);
  EXPECT_NEAR(*s.steering_ratio, 4, 1e-9);
  EXPECT_NEAR(s.wheels[0].rate_deg, 1, 1e-9);
  EXPECT_NEAR(*s.ackermann_percent[0], 0, 1e-6);  // parallel wheels
  EXPECT_TRUE(has_finding(all, "unequal-lock"));
  EXPECT_TRUE(has_finding(all, "off-ideal-angles"));
}

TEST(Steering, StaticToeIsWhereAheadPointsWithTheDriveAtZero) {
  // The right rod a little too long: the angle that it leaves is that of the two circles, and steering counts from it.
  const RackSteering rack{.rod = 3.5, .right_rod = 3.6};
  const Steered all = steered(machine(rack));
  const Steering& s = all.steering.at(0);
  const double toe = knuckle_deg(rack, 0, false);
  EXPECT_GT(std::abs(toe), 1);
  EXPECT_NEAR(s.wheels[1].toe_deg, toe, 1e-9);
  EXPECT_NEAR(s.wheels[0].toe_deg, 0, 1e-9);
  EXPECT_NEAR(s.sweep.back().steer_deg[1], knuckle_deg(rack, 12, false) - toe, 1e-9);
}

TEST(Steering, ASingleWheelInTheMiddleHasARadiusButNoError) {
  const std::string text =
      four_wheels() +
      upright({.name = "nose", .top = 8, .free_mm = 70, .solid_mm = 40, .near_eye = "", .tyre = "part = \"tyre-69\""}) +
      R"(
[[corner]]
name = "nose"
linkage = "nose"
at = [30, 0, 4]
load_n = 3
[linkage.fork]
plane = "top"
[linkage.fork.body]
chassis = { holes = { head = [0, 0] } }
fork = { holes = { head = [0, 0], hub = [-1, 0] } }
[[linkage.fork.pin]]
join = ["chassis.head", "fork.head"]
[linkage.fork.drive]
pin = "chassis.head"
range_deg = [-40, 40]
[linkage.fork.wheel.front]
at = "fork.hub"
part = "tyre-69"
ahead = [1, 0]
same_as = "nose/hub"
)" + top_corner("fork", 31);
  const Steering s = steered(text, 5).steering.at(0);
  EXPECT_FALSE(s.sweep[0].ackermann_error_deg);
  EXPECT_FALSE(s.track_mm);
  EXPECT_NEAR(*s.wheelbase_mm, 30 * module_mm, 1e-9);  // the other four stand about x = 0
  const double angle = 40 * per_deg, x = 31 * module_mm - module_mm * std::cos(angle);
  EXPECT_NEAR(*s.sweep[4].turn_radius_mm, x / std::sin(angle), 1e-6);
  EXPECT_NEAR(*s.inner_lock_deg[0], 40, 1e-9);
}

// ------------------------------------------------------------------------------------ effort

double distance_from_king(double y, void* at) {
  const auto& scrub = *static_cast<const Scrub*>(at);
  return std::hypot(scrub.beside_mm + y, scrub.before_mm);
}

TEST(Effort, IsFrictionTimesTheMeanDistanceFromTheKingpin) {  // the integral by GSL's adaptive quadrature
  gsl_integration_workspace* room = gsl_integration_workspace_alloc(200);
  for (const double beside : {0.0, 3.0, -20.0})
    for (const double before : {0.0, 5.0})
      for (const double width : {0.5, 24.0}) {
        Scrub scrub{.load_n = 7, .friction = 0.8, .width_mm = width, .beside_mm = beside, .before_mm = before};
        gsl_function f{distance_from_king, &scrub};
        double sum = 0, off = 0;
        gsl_integration_qag(&f, -width / 2, width / 2, 1e-10, 1e-10, 200, GSL_INTEG_GAUSS31, room, &sum, &off);
        EXPECT_NEAR(scrub_torque_n_mm(scrub), 0.8 * 7 * sum / width, 1e-8);
      }
  gsl_integration_workspace_free(room);
  EXPECT_DOUBLE_EQ(scrub_torque_n_mm({.load_n = 7, .friction = 0.8, .width_mm = 0, .beside_mm = 3, .before_mm = 4}),
                   0.8 * 7 * 5);
}

// The sprung wheels stand at y = 8 modules and 3 mm farther out, the kingpins' holes at y = 6: 16 + 3 mm.
TEST(Steering, ScrubIsToWhereTheSprungWheelStands) {
  std::string text = machine({});
  const std::string part = "part = \"tyre-69\"";
  text.replace(text.find(part), part.size(), part + "\nout = 0.375");
  const Steering s = steered(text).steering.at(0);
  EXPECT_NEAR(s.wheels[0].scrub_radius_mm, 2 * module_mm + 3, 1e-9);
  EXPECT_NEAR(s.wheels[1].scrub_radius_mm, 2 * module_mm + 3, 1e-9);
}

// A kingpin stands on an arm of 64 mm that leads: caster is by how much the arm has turned since rest, nose up as the wheel
// rises; and sin(turn) is the height of the wheel's centre over the arm's pin, by the arm's length.
TEST(Steering, CasterFollowsTheArmThatCarriesTheKingpin) {
  const Model model =
      read_rig(body(2000, 8, 0, 6) +
               arm({.more = coil("main", "arm.coil", "chassis.seat", 72, 50, 0.6), .tyre = "part = \"tyre-69\""}) +
               four_corners("l", 8, 8) + rack_steering({}) + top_corner("steer", 16));
  const Solution solution = *solve(model).solution;
  const SteerResult result = steer(model, solution, {.clearance = false});
  ASSERT_TRUE(result.steered) << result.problems.front().text;
  const auto& curve = result.steered->steering.at(0).bump.at(0).straight;
  ASSERT_TRUE(curve);
  const WheelResult& wheel = solution.corners.at(0).wheels.at(0);
  const auto turn_deg = [&](double travel_mm) {
    return std::asin((wheel.centre_C_mm.y() + travel_mm - *wheel.travel_mm) / 64) / per_deg;
  };
  EXPECT_NEAR(curve->kingpin[1].caster_deg, 0, 1e-9);
  EXPECT_NEAR(curve->kingpin[0].caster_deg, turn_deg(0) - turn_deg(*wheel.travel_mm), 1e-6);
  EXPECT_NEAR(curve->kingpin[2].caster_deg, turn_deg(*wheel.bump_total_mm) - turn_deg(*wheel.travel_mm), 1e-6);
  EXPECT_GT(curve->kingpin[2].caster_deg, 1);
  EXPECT_NEAR(curve->kingpin[2].inclination_deg, 0, 1e-9);
}

// Hand calculation: 12 teeth drive 20 and 8 drive 24, so 20/12 * 24/8 = 5 turns for one of the pinion of 12 teeth, whose
// pitch circle moves the rack by 12 pi mm; a belt from 9 to 15 alone needs 5/3 turns. The stroke is 3 modules, 24 mm.
TEST(Steering, EveryHandWheelHasTurnsRatioAndEffortOfItsOwn) {
  const Steering s =
      steered(machine({.more = "[[linkage.steer.hand]]\nname = \"roof knob\"\ngears = [[12, 20], [8, 24]]\n"
                               "[[linkage.steer.hand]]\nname = \"cab\"\npulleys = [[9, 15]]\n"}))
          .steering.at(0);
  const Steering plain = steered(machine({})).steering.at(0);
  ASSERT_EQ(s.hands.size(), 2u);
  const double per_pinion_mm = 12 * std::numbers::pi;
  const double ratios[2] = {5, 5.0 / 3};
  for (std::size_t i = 0; i < 2; ++i) {
    const HandWheel& hand = s.hands[i];
    EXPECT_NEAR(hand.ratio, ratios[i], 1e-12);
    EXPECT_NEAR(*hand.turns_lock_to_lock, ratios[i] * 24 / per_pinion_mm, 1e-9);
    EXPECT_NEAR(*hand.rack_mm_per_turn, per_pinion_mm / ratios[i], 1e-9);
    EXPECT_NEAR(*hand.steering_ratio, ratios[i] * *plain.steering_ratio, 1e-9);
    EXPECT_NEAR(*hand.at_centre_n_mm, *plain.effort->hand_at_centre_n_mm / ratios[i], 1e-9);
  }
  EXPECT_EQ(s.turns_lock_to_lock, s.hands[0].turns_lock_to_lock);
}

TEST(Effort, AtTheHandWheelIsTheTyresTorqueOverTheRatio) {  // virtual work
  const Steering s = steered(machine({})).steering.at(0);
  ASSERT_TRUE(s.effort);
  EXPECT_FALSE(s.effort->friction_given);
  EXPECT_NEAR(s.effort->load_n,
              2 * 5 + 2 * std::get<Tyre>(built_in_parts().at("tyre-69").data).mass_g / 1000 * gravity_m_per_s2, 1e-9);
  EXPECT_NEAR(s.wheels[0].scrub_radius_mm, 2 * module_mm, 1e-9);
  const double width = std::get<Tyre>(built_in_parts().at("tyre-69").data).width_mm;
  const double torque = scrub_torque_n_mm(
      {.load_n = s.effort->load_n / 2, .friction = 0.8, .width_mm = width, .beside_mm = 16, .before_mm = 0});
  EXPECT_NEAR(s.effort->drive_at_centre, 2 * torque * std::abs(s.wheels[0].rate_deg) * per_deg, 1e-9);
  EXPECT_NEAR(*s.effort->hand_at_centre_n_mm, 2 * torque / *s.steering_ratio, 1e-9);
  EXPECT_GT(*s.effort->hand_at_most_n_mm, *s.effort->hand_at_centre_n_mm);
}

// ------------------------------------------------------------------------------------ findings

TEST(SteerFindings, ASoundRackHasNone) {
  const Steered all = steered(machine({.stroke = "[-1, 1]"}));
  for (const Finding& finding : all.findings) ADD_FAILURE() << finding.code << ": " << finding.text;
}

TEST(SteerFindings, RodsThatCanNotFollowTheStroke) {
  const Steered all = steered(machine({.stroke = "[-5, 5]"}));
  const Finding f = finding(all, "stroke-not-followed");
  EXPECT_EQ(f.level, Level::problem);
  EXPECT_EQ(f.where, "steer corner");
  EXPECT_THAT(f.text, HasSubstr("its stroke goes to -40.0 mm, but -14.5 is as far as the rods can follow"));
  EXPECT_THAT(f.text, HasSubstr("knuckle-left"));
  EXPECT_FALSE(f.remedy.empty());
  EXPECT_FALSE(all.steering[0].effort->hand_at_most_n_mm);  // grows without bound
}

TEST(SteerFindings, ADeadPointNearLock) {
  const Steered all = steered(machine({.stroke = "[-1.75, 1.75]"}));
  EXPECT_THAT(finding(all, "near-dead-point").text, HasSubstr("under 20"));
  EXPECT_FALSE(has_finding(all, "stroke-not-followed"));
}

TEST(SteerFindings,
     WheelsThatTurnOppositeWays) {  // one arm ahead of its kingpin, one behind; a rod to each from one rack
  const Steered all = steered(
      machine({.guide_x = 0, .arm_x = -3, .right_arm_x = 3, .rod = 3.5, .right_rod = 3.5, .stroke = "[-0.2, 0.2]"}));
  EXPECT_EQ(finding(all, "turns-opposite").level, Level::problem);
}

TEST(SteerFindings, UnequalLock) {
  EXPECT_THAT(finding(steered(machine({.stroke = "[-1, 1.4]"})), "unequal-lock").text, HasSubstr("over 10 % apart"));
  EXPECT_THAT(finding(steered(machine({.stroke = "[0, 1]"})), "unequal-lock").text,
              HasSubstr("it turns to the right only"));
}

TEST(SteerFindings, AnErrorThatIsGreatestNearTheMiddle) {
  // By its rule, on a curve made by hand.
  Steering s;
  s.wheels.resize(2);
  s.wheels[0].centre_mm = Vec2(100, 50);
  s.wheels[1].centre_mm = Vec2(100, -50);
  s.wheels[0].lock_deg = s.wheels[1].lock_deg = {-40, 40};
  s.inner_lock_deg = {40, 40};
  for (const auto& [angle, error] :
       {std::pair(0.0, 0.0), std::pair(10.0, 0.8), std::pair(15.0, 0.9), std::pair(30.0, 0.3), std::pair(40.0, -0.5)})
    s.curve.push_back({.drive = angle,
                       .hand_turns = {},
                       .steer_deg = {angle, angle},
                       .ackermann_error_deg = error,
                       .turn_radius_mm = {},
                       .turn_centre_mm = {}});
  s.worst_error_deg = 0.9;
  s.worst_error_at = 15;
  Steered judged;
  judged.findings = judge_steering({s});
  EXPECT_THAT(finding(judged, "error-at-small-angles").text,
              HasSubstr("0.90 degrees where the inner wheel turns by 15.0"));
  s.curve.back().ackermann_error_deg = -1.0;  // greater at full lock: none
  judged.findings = judge_steering({s});
  EXPECT_FALSE(has_finding(judged, "error-at-small-angles"));
}

TEST(SteerFindings, AWheelThatPointsAside) {
  EXPECT_THAT(finding(steered(machine({.right_rod = 4})), "points-aside").text, HasSubstr("over 3"));
  EXPECT_THAT(finding(steered(machine({.ahead = "[-1, 0]"})), "points-aside").remedy, HasSubstr("backwards"));
}

TEST(SteerFindings, AWheelThatTheDriveDoesNotReach) {  // it sits on the chassis itself
  std::string text = machine({});
  const auto at = text.find("at = \"knuckle-right.hub\"");
  text.replace(at, std::string("at = \"knuckle-right.hub\"").size(), "at = \"chassis.stub\"");
  text.replace(text.find("guide = [-3, 0] }"), std::string("guide = [-3, 0] }").size(),
               "guide = [-3, 0], stub = [0, -8] }");
  EXPECT_EQ(finding(steered(text), "not-turned").where, "steer corner/right");
}

// ------------------------------------------------------------------------------------ refusals

TEST(SteerRefusals, AModelWithoutSteering) {
  const Problem problem = refused(four_wheels());
  EXPECT_EQ(problem.code, "no-steering");
  EXPECT_EQ(problem.fault, Fault::text);
  EXPECT_THAT(problem.text, HasSubstr("nothing is steered"));
}

TEST(SteerRefusals, ATopLinkageWithoutADrive) {
  std::string text = machine({});
  const auto at = text.find("[linkage.steer.drive]"), to = text.find("[linkage.steer.wheel.left]");
  text.erase(at, to - at);
  const Problem problem = refused(text);
  EXPECT_THAT(problem.text, HasSubstr("linkage 'steer' lies in the top plane, but has no drive"));
  EXPECT_GT(problem.place.line, 0);
}

TEST(SteerRefusals, AWheelOverOneModuleFromTheOneThatItIs) {
  EXPECT_EQ(steered(machine({}, 17)).steering.size(), 1u);  // exactly one module
  const Model model = read_rig(machine({}, 17.01));
  SolveResult rest = solve(model);
  ASSERT_TRUE(rest.solution);
  const SteerResult result = steer(model, *rest.solution);
  EXPECT_FALSE(result.steered);
  ASSERT_EQ(result.problems.size(), 2u);  // both wheels
  EXPECT_EQ(result.problems[0].code, "same-as-far");
  EXPECT_EQ(result.problems[0].fault, Fault::text);
  EXPECT_THAT(result.problems[0].text,
              HasSubstr("wheel 'left' of linkage 'steer' is drawn 1.01 modules from 'front left/hub'"));
  EXPECT_GT(result.problems[0].place.line, 0);
  EXPECT_GT(result.problems[0].place.column, 0);
}

}  // namespace
}  // namespace ridepitch
