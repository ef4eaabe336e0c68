// Steering: ideal angles, turning radii, the trapezoid of two arms and a track rod, rack and pinion, Davis' gear.
//
// Values are those of plane geometry; where a book or page gave the data, it is named beside them. Lengths of the books in m
// are mm here.

#include <fmt/format.h>
#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <numbers>

#include "reference/linkages.hpp"
#include "rigs/models.hpp"
#include "rigs/texts.hpp"
#include "steer/drive_sweep.hpp"
#include "steer/ideal.hpp"
#include "steer/steering.hpp"

namespace ridepitch {
namespace {

constexpr double last_digit = 1e-8;  // of the values below, degrees or mm

double ideal_outer_deg(double inner_deg, double track, double wheelbase) {
  return ideal_outer_rad(inner_deg * rad_per_deg, track, wheelbase) / rad_per_deg;
}

TEST(IdealAngles, OuterWheelOfTheTextbookProblem) {  // wheelbase 2.6 m, kingpins 1.5 m apart, inner wheel 28 degrees
  EXPECT_NEAR(ideal_outer_deg(28, 1500, 2600), 22.14105562, last_digit);
}

TEST(IdealAngles, TableForATrackOfHalfTheWheelbase) {  // cot(outer) = cot(inner) + w / l
  const std::array<std::pair<double, double>, 9> table{{{5, 4.79144198},
                                                        {10, 9.20425608},
                                                        {15, 13.29468619},
                                                        {20, 17.11523801},
                                                        {25, 20.71372701},
                                                        {30, 24.13326121},
                                                        {35, 27.41271688},
                                                        {40, 30.58744531},
                                                        {45, 33.69006753}}};
  for (const auto& [inner, outer] : table) EXPECT_NEAR(ideal_outer_deg(inner, 1, 2), outer, last_digit) << inner;
}

TEST(TurningRadii, OfTheTextbookCarAtItsInnerWheelsAngle) {  // plane geometry; the car of the problem above
  const double wheelbase = 2600, half = 750;
  const double outer = ideal_outer_rad(28 * rad_per_deg, 2 * half, wheelbase);
  const auto by_outer = turn_centre(WheelLine{Vec2(wheelbase, -half), outer}, 0);
  const auto by_inner = turn_centre(WheelLine{Vec2(wheelbase, half), 28 * rad_per_deg}, 0);
  ASSERT_TRUE(by_outer && by_inner);
  EXPECT_NEAR((*by_outer - *by_inner).norm(), 0, 1e-9);  // both axes meet the rear axle's line in one point
  const double mm = 1e-5;                                // the values are given in m to 8 decimals
  EXPECT_NEAR(by_outer->y(), 5639.88881, mm);
  EXPECT_NEAR(std::atan(wheelbase / by_outer->y()) / rad_per_deg, 24.74979595, last_digit);  // one wheel in the middle
  EXPECT_NEAR((*by_outer - Vec2(0, half)).norm(), 4889.88881, mm);
  EXPECT_NEAR((*by_outer - Vec2(wheelbase, -half)).norm(), 6898.59979, mm);
  EXPECT_NEAR((*by_outer - Vec2(wheelbase + 800, -half)).norm(), 7238.14058, mm);
  EXPECT_NEAR((*by_outer - Vec2(1200, 0)).norm(), 5766.13786, mm);
  // The same point by least squares, the rear wheels' axes with it.
  const auto least = turn_centre(std::vector<WheelLine>{{Vec2(wheelbase, -half), outer},
                                                        {Vec2(wheelbase, half), 28 * rad_per_deg},
                                                        {Vec2(0, half), 0},
                                                        {Vec2(0, -half), 0}});
  ASSERT_TRUE(least);
  EXPECT_NEAR((*least - *by_outer).norm(), 0, 1e-8);
}

TEST(TurningRadii, OfAModelWith128MmWheelbase) {  // kingpins 80 mm apart; plane geometry
  const std::array<std::array<double, 3>, 3> table{
      {{10, 9.02456103, 765.924073}, {20, 16.51603413, 391.677110}, {30, 22.98952128, 261.702503}}};
  for (const auto& [inner, outer, radius] : table) {
    EXPECT_NEAR(ideal_outer_deg(inner, 80, 128), outer, last_digit);
    const auto centre = turn_centre(WheelLine{Vec2(128, -40), outer * rad_per_deg}, 0);
    ASSERT_TRUE(centre);
    EXPECT_NEAR(centre->y(), radius, 1e-5);  // the outer angle's own last digit moves it by 1e-6
  }
}

TEST(Davis, GearSteersExactlyAtEveryShift) {
  // Kingpins 1.2 m apart, wheelbase 2.7 m, tan(arm inclination) = c / 2b. (angles by plane geometry; the rule seen in
  // problems of theory of machines) What the gear gives has no error by the ideal angles.
  const std::array<std::array<double, 2>, 3> shifts{
      {{5.33128636, 5.56055097}, {12.74891453, 14.11994798}, {19.36198409, 22.60940570}}};
  for (const auto& [outer, inner] : shifts) {
    EXPECT_NEAR(ackermann_error_rad(inner * rad_per_deg, outer * rad_per_deg, 1200, 2700) / rad_per_deg, 0,
                2 * last_digit);
    EXPECT_NEAR(*ackermann_percent(inner * rad_per_deg, outer * rad_per_deg, 1200, 2700), 100, 1e-5);
    EXPECT_NEAR(1 / std::tan(outer * rad_per_deg) - 1 / std::tan(inner * rad_per_deg), 4.0 / 9, 1e-7);
  }
}

// ------------------------------------------------------------------------------------ the trapezoid

/// Kingpins `track` apart, arms pointing back and inward by `beta`, a track rod of such a length that both wheels point
/// straight ahead together. Driven at its left kingpin, so that the drive's value is the left wheel's angle.
struct Trapezoid {
  double track = 2400, arm = 400, beta_deg = 18, rod = 0;

  double rod_mm() const { return rod > 0 ? rod : track - 2 * arm * std::sin(beta_deg * rad_per_deg); }
};

Linkage trapezoid(const Trapezoid& t) {
  Linkage linkage;
  linkage.name = "trapezoid";
  linkage.plane = Plane::top;
  const Vec2 left(0, t.track / 2), right(0, -t.track / 2);
  const Vec2 arm(-t.arm * std::cos(t.beta_deg * rad_per_deg), -t.arm * std::sin(t.beta_deg * rad_per_deg));
  const Vec2 other(arm.x(), -arm.y());
  add_body(linkage, "chassis", {{"left", left}, {"right", right}});
  add_body(linkage, "left", {{"king", Vec2::Zero()}, {"arm", arm}}, {{"arm", left + arm}});
  add_body(linkage, "right", {{"king", Vec2::Zero()}, {"arm", other}}, {{"arm", right + other}});
  add_pin(linkage, {"chassis.left", "left.king"});
  add_pin(linkage, {"chassis.right", "right.king"});
  Rod rod;
  rod.name = "track rod";
  rod.from = hole(linkage, "left.arm");
  rod.to = hole(linkage, "right.arm");
  rod.length_mm = t.rod_mm();
  linkage.rods.push_back(rod);
  Drive drive;
  drive.pin = 0;
  drive.range_rad = {-56 * rad_per_deg, 56 * rad_per_deg};
  linkage.drive = drive;
  return linkage;
}

/// The linkage with its left wheel turned: angle of the right one [deg].
struct Turned {
  Linkage linkage;
  DrivePath way;
  DriveWorkspace workspace;

  explicit Turned(const Trapezoid& t) : linkage(trapezoid(t)) {
    AssembleResult assembled = assemble(linkage, 8);
    for (const Problem& problem : assembled.problems) ADD_FAILURE() << problem.text;
    DrivePathOrProblem found = find_drive_path(*assembled.assembly, 8);
    if (found.problem) ADD_FAILURE() << found.problem->text;
    way = std::move(*found.path);
    prepare(way, workspace);
  }

  double outer_deg(double inner_deg) {
    Eigen::VectorXd q;
    EXPECT_TRUE(place_drive(way, inner_deg * rad_per_deg, workspace, q)) << inner_deg;
    EXPECT_NEAR(q[2] / rad_per_deg, inner_deg, 1e-12);
    return q[5] / rad_per_deg;
  }
};

TEST(Trapezoid, TurnsTheOuterWheelAsTheTableSays) {
  // Kingpins 2.4 m apart, arms 0.4 m, wheelbase 4.8 m: layout after R. N. Jazar, Vehicle Dynamics, from memory; digits by
  // exact closure of the four-bar. Inner, outer at beta = 18, error there, outer at beta = 10.
  const std::array<std::array<double, 4>, 8> table{{{5, 4.84616372, 0.05472173, 4.91936244},
                                                    {10, 9.39611303, 0.19185695, 9.67927049},
                                                    {15, 13.65693882, 0.36225262, 14.27771580},
                                                    {20, 17.62480787, 0.50956986, 18.70674612},
                                                    {25, 21.28698697, 0.57325996, 22.95251757},
                                                    {30, 24.62309800, 0.48983679, 26.99495881},
                                                    {35, 27.60607405, 0.19335716, 30.80714441},
                                                    {40, 30.20316082, -0.38428450, 34.35448178}}};
  Turned at_18(Trapezoid{.beta_deg = 18}), at_10(Trapezoid{.beta_deg = 10});
  for (const auto& [inner, outer_18, error, outer_10] : table) {
    const double outer = at_18.outer_deg(inner);
    EXPECT_NEAR(outer, outer_18, last_digit) << inner;
    EXPECT_NEAR(at_10.outer_deg(inner), outer_10, last_digit) << inner;
    EXPECT_NEAR(ackermann_error_rad(inner * rad_per_deg, outer * rad_per_deg, 2400, 4800) / rad_per_deg, error,
                2 * last_digit)
        << inner;
  }
}

TEST(Trapezoid, KeepsTheImplicitRelationOfTheBook) {  // R. N. Jazar, Vehicle Dynamics, steering chapter, from memory
  const double beta = 18 * rad_per_deg, w_over_d = 2400.0 / 400;
  Turned turned(Trapezoid{.beta_deg = 18});
  for (double inner = -35; inner <= 40;
       inner += 2.5) {  // driven as the outer wheel it stops at a dead point, at 36 degrees
    const double i = inner * rad_per_deg, o = turned.outer_deg(inner) * rad_per_deg;
    const double root = w_over_d - 2 * std::sin(beta), across = std::cos(beta - o) - std::cos(beta + i);
    EXPECT_NEAR(std::sin(beta + i) + std::sin(beta - o), w_over_d - std::sqrt(root * root - across * across), 1e-12)
        << inner;
  }
}

TEST(Trapezoid, OfParallelArmsTurnsBothWheelsAlike) {  // a parallelogram
  Turned turned(Trapezoid{.beta_deg = 0});
  for (double inner = -45; inner <= 45; inner += 5) EXPECT_NEAR(turned.outer_deg(inner), inner, 1e-10) << inner;
}

/// Inner angle other than 0 at which it steers exactly, by bisection between two that do not.
double exact_inner_deg(Turned& turned, double low, double high, double track, double wheelbase) {
  const auto error = [&](double inner) {
    return ackermann_error_rad(inner * rad_per_deg, turned.outer_deg(inner) * rad_per_deg, track, wheelbase);
  };
  EXPECT_LT(error(low) * error(high), 0);
  for (int k = 0; k < 60; ++k) {
    const double middle = 0.5 * (low + high);
    (error(middle) * error(low) > 0 ? low : high) = middle;
  }
  return 0.5 * (low + high);
}

TEST(Trapezoid, SteersExactlyAtOneAngleAndNotWhereTheHandbookShortcutSays) {
  // Wheelbase 2.8 m, track 1.5 m, track rod 1.2 m, arms 0.15 m, kingpins 1.3 m apart: problem of theory-of-machines texts;
  // digits by exact closure. Radii run on the wheels' centres, half of (track - kingpins) outside the kingpins.
  const double kingpins = 1300, wheelbase = 2800, offset = (1500 - kingpins) / 2;
  Turned turned(Trapezoid{.track = kingpins, .arm = 150, .beta_deg = std::asin(1.0 / 3) / rad_per_deg});
  EXPECT_NEAR(turned.linkage.rods[0].length_mm, 1200, 1e-9);
  const double inner = exact_inner_deg(turned, 5, 45, kingpins, wheelbase);
  EXPECT_NEAR(inner, 28.64796726, 2 * last_digit);
  const double outer = turned.outer_deg(inner);
  EXPECT_NEAR(outer, 23.54631955, 2 * last_digit);
  EXPECT_NEAR(wheelbase / std::sin(inner * rad_per_deg) - offset, 5740.30854, 1e-4);
  EXPECT_NEAR(wheelbase / std::sin(outer * rad_per_deg) + offset, 7108.93085, 1e-4);
  // The shortcut sin(beta + i) + sin(beta - o) = 2 sin(beta) leaves out that the rod swings: it says 35.99740760 and
  // 28.51268872, which is not this linkage.
  EXPECT_GT(std::abs(turned.outer_deg(35.99740760) - 28.51268872), 0.3);
}

TEST(Trapezoid, WithKingpins125CmApartNeverSteersExactly) {  // as one copy of the problem above says; up to 56 degrees
  Turned turned(Trapezoid{.track = 1250, .arm = 150, .beta_deg = 9.59406823});
  for (double inner = 1; inner <= 55; inner += 0.5)
    EXPECT_GT(ackermann_error_rad(inner * rad_per_deg, turned.outer_deg(inner) * rad_per_deg, 1250, 2800), 0) << inner;
}

// ------------------------------------------------------------------------------------ rack and pinion

/// A rack that turns two knuckles, alone on the drawing.
std::string rack_text(double tooth_module_mm, int teeth) {
  return on_drawing(
      rack_steering({.stroke = "[-0.5, 0.5]",
                     .drive = fmt::format("pinion_teeth = {}\ntooth_module_mm = {}", teeth, tooth_module_mm),
                     .end = ""}),
      "steer");
}

TEST(RackAndPinion, MovesByThePinionsPitchCircleForATurn) {  // involute rack, pi m z; modules of ISO 54, series I
  struct Case {
    double module_mm;
    int teeth;
    double per_turn, per_degree, turns_for_8_mm;
  };
  for (const Case& c : {Case{1, 8, 25.13274123, 0.06981317, 0.318310}, Case{1, 12, 37.69911184, 0.10471976, 0.212207},
                        Case{1, 16, 50.26548246, 0.13962634, 0.159155}, Case{1, 20, 62.83185307, 0.17453293, 0.127324},
                        Case{1.25, 8, std::numbers::pi * 10, std::numbers::pi / 36, 8 / (std::numbers::pi * 10)}}) {
    const Model model = read_rig(rack_text(c.module_mm, c.teeth));
    const SteerResult result = steer(model, Solution{});
    for (const Problem& problem : result.problems) ADD_FAILURE() << problem.text;
    ASSERT_TRUE(result.steered);
    const Steering& steering = result.steered->steering.at(0);
    ASSERT_TRUE(steering.rack_mm_per_turn && steering.turns_lock_to_lock);
    EXPECT_NEAR(*steering.rack_mm_per_turn, c.per_turn, 1e-8);
    EXPECT_NEAR(*steering.rack_mm_per_turn / 360, c.per_degree, 1e-8);
    EXPECT_NEAR(*steering.turns_lock_to_lock, c.turns_for_8_mm, 1e-6);  // the stroke is 8 mm in all
  }
}

}  // namespace
}  // namespace ridepitch
