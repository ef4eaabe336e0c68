// A double wishbone in the front plane, y outboard: lower arm (20, 24)-(64, 20), upper arm (24, 56)-(58, 60), contact
// (72, 0) mm, centre line y = 0. Source: plane geometry, loop closure; rates by central differences to six digits.

#include <gtest/gtest.h>

#include <array>
#include <cmath>

#include "reference/linkages.hpp"
#include "ride/hold.hpp"
#include "ride/wheel_path.hpp"

namespace ridepitch {
namespace {

const Vec2 lower_inner(20, 24), lower_ball(64, 20), upper_inner(24, 56), upper_ball(58, 60), contact(72, 0);

// Grids lie as drawn at the design position, so that turned angles are those of the bodies.
Linkage double_wishbone() {
  Linkage linkage;
  linkage.name = "double wishbone";
  linkage.plane = Plane::front;
  add_body(linkage, "chassis", {{"lower", lower_inner}, {"upper", upper_inner}, {"top", Vec2(34, 80)}});
  add_body(linkage, "lower",
           {{"inner", Vec2(0, 0)}, {"ball", lower_ball - lower_inner}, {"seat", 0.7 * (lower_ball - lower_inner)}},
           {{"ball", lower_ball}});
  add_body(linkage, "upper", {{"inner", Vec2(0, 0)}, {"ball", upper_ball - upper_inner}}, {{"ball", upper_ball}});
  add_body(linkage, "upright",
           {{"lower", Vec2(0, 0)}, {"upper", upper_ball - lower_ball}, {"contact", contact - lower_ball}},
           {{"upper", upper_ball}, {"contact", contact}});
  add_pin(linkage, {"chassis.lower", "lower.inner"});
  add_pin(linkage, {"lower.ball", "upright.lower"});
  add_pin(linkage, {"upright.upper", "upper.ball"});
  add_pin(linkage, {"chassis.upper", "upper.inner"});
  add_coil(linkage, "main", "lower.seat", "chassis.top",
           {.free_mm = 70, .solid_mm = 30, .rate_n_per_mm = 1.5, .law = {}});
  add_wheel(linkage, "upright.contact");
  return linkage;
}

struct Station {
  double arm, lower_y, lower_z, upper_y, upper_z, upright, dz, dy;
};
constexpr std::array<Station, 4> stations{{
    {-10, 62.636948, 12.420249, 58.066093, 52.608647, -2.042074, -7.852116, -2.080799},
    {-5, 63.483944, 16.180369, 58.233294, 56.285614, -1.071924, -3.965792, -0.891606},
    {5, 64.181190, 23.850074, 57.353354, 63.717111, 1.187719, 4.020196, 0.594033},
    {10, 64.026134, 27.701289, 56.280562, 67.400232, 2.509391, 8.070733, 0.894125},
}};

TEST(DoubleWishbone, GainsCamberAndScrubAsDrawn) {
  const Linkage linkage = double_wishbone();
  Cranked cranked = take_crank(linkage, "lower");
  for (const Station& at : stations) {
    ASSERT_TRUE(turn_to(cranked, at.arm));
    EXPECT_NEAR(place(cranked, "lower.ball").x(), at.lower_y, 1e-6) << at.arm;
    EXPECT_NEAR(place(cranked, "lower.ball").y(), at.lower_z, 1e-6) << at.arm;
    EXPECT_NEAR(place(cranked, "upper.ball").x(), at.upper_y, 1e-6) << at.arm;
    EXPECT_NEAR(place(cranked, "upper.ball").y(), at.upper_z, 1e-6) << at.arm;
    EXPECT_NEAR(wrapped_deg(angle_deg(cranked, "upright")), at.upright, 1e-6) << at.arm;
    EXPECT_NEAR(place(cranked, "upright.contact").y(), at.dz, 1e-6) << at.arm;
    EXPECT_NEAR(place(cranked, "upright.contact").x() - contact.x(), at.dy, 1e-6) << at.arm;
  }
}

TEST(DoubleWishbone, TurnsAboutItsInstantCentreAndRollsAboutItsRollCentre) {
  const Linkage linkage = double_wishbone();
  Cranked cranked = take_crank(linkage, "lower");
  ASSERT_TRUE(turn_to(cranked, 0));
  const Eigen::VectorXd dq = motion_of(cranked);
  const double omega = dq[3 * moving_body(linkage, "upright") + 2];
  const Vec2 v = velocity(cranked, "upright.contact", dq);
  const Vec2 centre = contact + Vec2(-v.y(), v.x()) / omega;
  EXPECT_NEAR(centre.x(), -131.17948718, 1e-8);
  EXPECT_NEAR(centre.y(), 37.74358974, 1e-8);
  // The line from the contact to the instant centre meets the centre line at the roll centre.
  EXPECT_NEAR(centre.y() * contact.x() / (contact.x() - centre.x()), 13.37506310, 1e-8);
  EXPECT_NEAR(omega / v.y() / rad_per_deg, 0.28199589, 1e-8);  // 1 / 203.17948718 rad/mm
  EXPECT_NEAR(v.x() / v.y(), 0.18576476, 1e-8);
}

// The same wishbones with a wheel of 60 mm on the upright, its centre straight over the contact as drawn.
struct Hung {
  Linkage linkage = double_wishbone();
  Assembly assembly;
  Member member;
  Cranked cranked;
};

// @param side  +1: the left one, u outboard; -1: the right one, flipped
void hang_wheel(double side, Hung& out) {
  out.linkage.bodies.back().holes.push_back({"hub", contact + Vec2(0, 30) - lower_ball, {}});
  out.linkage.wheels[0].at = hole(out.linkage, "upright.hub");
  out.assembly = assembled(out.linkage);
  out.member = {
      .mechanism = &out.assembly.mechanism, .plane = Plane::front, .at_mm = Vec3::Zero(), .u_sign = side, .treads = {}};
  out.cranked = take_crank(out.linkage, "lower");
}

WheelMotion motion_per_mm(Hung& hung) {
  const Eigen::VectorXd dq = motion_of(hung.cranked);
  return wheel_motion(hung.assembly.mechanism, 0, hung.cranked.q, dq / velocity(hung.cranked, "upright.hub", dq).y());
}

TEST(DoubleWishbone, WheelPathIsThatOfItsContact) {
  for (const double side : {1.0, -1.0}) {
    Hung hung;
    hang_wheel(side, hung);
    const WheelSeat seat = wheel_seat(hung.member, 0, contact + Vec2(0, 30), 30);
    for (const Station& at : stations) {
      ASSERT_TRUE(turn_to(hung.cranked, at.arm));
      const PathPoint point = path_point(seat, place(hung.cranked, "upright.hub"), motion_per_mm(hung), contact);
      constexpr double six_digits = 1e-6;
      EXPECT_NEAR(point.camber_deg.value(), -at.upright, six_digits) << at.arm;  // the table counts the top inward
      EXPECT_NEAR(point.track_change_mm.value(), at.dy, six_digits) << at.arm;
      EXPECT_FALSE(point.wheelbase_change_mm.has_value());
    }
  }
}

TEST(DoubleWishbone, WheelPathHasItsCamberGainScrubAndRollCentreAsDrawn) {
  for (const double side : {1.0, -1.0}) {
    Hung hung;
    hang_wheel(side, hung);
    ASSERT_TRUE(turn_to(hung.cranked, 0));
    const WheelSeat seat = wheel_seat(hung.member, 0, contact + Vec2(0, 30), 30);
    const WheelMotion motion = motion_per_mm(hung);
    const PathSlopes slopes = path_slopes(seat, motion);
    EXPECT_NEAR(slopes.camber.value() / rad_per_deg, -0.28199589, 1e-8);
    EXPECT_NEAR(slopes.outward.value(), 0.18576476, 1e-8);
    EXPECT_FALSE(slopes.forward.has_value());
    const PathPoint point = path_point(seat, contact + Vec2(0, 30), motion, contact);
    EXPECT_NEAR(point.camber_deg.value(), 0, 1e-9);
    EXPECT_NEAR(point.track_change_mm.value(), 0, 1e-9);
    EXPECT_NEAR(point.roll_centre_mm.value(), 13.37506310, 1e-8);
  }
}

struct RateRow {
  double arm, dz, length, ratio, force, load, rate, elastic;
};
constexpr std::array<RateRow, 4> rate_rows{{
    {-5, -3.965792, 63.633747, 0.621511, 9.549379, 5.935041, 0.598014, 0.579413},
    {0, 0.000000, 61.152923, 0.629771, 13.270615, 8.357455, 0.624187, 0.594918},
    {5, 4.020196, 58.602755, 0.639026, 17.095868, 10.924712, 0.653279, 0.612532},
    {10, 8.070733, 55.994524, 0.648866, 21.008214, 13.631512, 0.683080, 0.631540},
}};

TEST(DoubleWishbone, HasTheWheelRateOfBothTerms) {
  const Linkage linkage = double_wishbone();
  const Assembly assembly = assembled(linkage);
  Cranked cranked = take_crank(linkage, "lower");
  HeldWorkspace workspace;
  HeldRates rates;
  for (const RateRow& row : rate_rows) {
    ASSERT_TRUE(turn_to(cranked, row.arm));
    const HeldMechanism held = hold_wheels(assembly.mechanism, cranked.q);
    prepare(held, workspace);
    held_rates(held, cranked.q, {}, workspace, rates);
    const SpringElement& coil = held.mechanism.springs[0];
    const double length = read(coil.gauge, cranked.q, workspace.closure.turns).value;
    const double ratio = motion_ratio(coil, cranked.q, workspace.closure.turns, rates.motion.col(0));
    constexpr double six_digits = 2e-6;
    EXPECT_NEAR(place(cranked, "upright.contact").y(), row.dz, six_digits) << row.arm;
    EXPECT_NEAR(length, row.length, six_digits) << row.arm;
    EXPECT_NEAR(ratio, row.ratio, six_digits) << row.arm;
    EXPECT_NEAR(element_force(coil, length).push_n, row.force, six_digits) << row.arm;
    EXPECT_NEAR(rates.load_n[0], row.load, six_digits) << row.arm;
    EXPECT_NEAR(1.5 * ratio * ratio, row.elastic, six_digits) << row.arm;
    EXPECT_NEAR(rates.rate_n_per_mm(0, 0), row.rate, six_digits) << row.arm;
  }
}

}  // namespace
}  // namespace ridepitch
