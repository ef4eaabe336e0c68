// Full bump: what ends a wheel's way, by its exact name, at a height known in closed form; and the load on the way.

#include "ride/sweep.hpp"

#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <complex>
#include <optional>

#include "rigs/rest.hpp"
#include "rigs/texts.hpp"

namespace ridepitch {
namespace {

using testing::Contains;

constexpr double exact_mm = 1e-9;

WheelResult wheel_on_bench(const std::string& tables, double load_n = 3) {
  const Solution solution = rested(on_bench(tables, load_n));
  if (solution.corners.empty()) return {};
  return solution.corners[0].wheels[0];
}

bool says(const Solution& solution, const std::string& code) {
  return std::any_of(solution.findings.begin(), solution.findings.end(),
                     [&](const Finding& finding) { return finding.code == code; });
}

TEST(FullBump, IsWhereTheCoilGoesSolid) {  // 64 - 44 mm above droop; at rest 3 N / (0.5 N/mm) = 6 mm
  const WheelResult wheel = wheel_on_bench(upright({}));
  EXPECT_EQ(wheel.bump_end, "main solid");
  EXPECT_EQ(wheel.droop_end, "main free");
  EXPECT_NEAR(*wheel.bump_total_mm, 20, exact_mm);
  EXPECT_NEAR(*wheel.bump_travel_mm, 14, exact_mm);
  EXPECT_NEAR(*wheel.sag_mm, 6, exact_mm);
  EXPECT_NEAR(*wheel.bump_load_n, 10, 1e-9);  // 0.5 * 20
  EXPECT_NEAR(*wheel.reserve, 10.0 / 3, 1e-9);
}

TEST(FullBump, IsWhereAStrapIsTight) {  // droop at 80 - 64 = 16; a strap of 68 mm from (0, -40): tight at 28
  const WheelResult wheel = wheel_on_bench(
      upright({.more = "[linkage.l.limit.strap]\nfrom = \"chassis.low\"\nto = \"carrier.eye\"\nmax = 8.5",
               .more_holes = ", low = [0, -5]"}));
  EXPECT_EQ(wheel.bump_end, "strap max");
  EXPECT_NEAR(*wheel.bump_total_mm, 12, exact_mm);
}

TEST(FullBump, IsWhereABumpStopIsMet) {  // top at 80, no nearer than 50: at 30
  const WheelResult wheel = wheel_on_bench(
      upright({.more = "[linkage.l.limit.buffer]\nfrom = \"chassis.top\"\nto = \"carrier.eye\"\nmin = 6.25"}));
  EXPECT_EQ(wheel.bump_end, "buffer min");
  EXPECT_NEAR(*wheel.bump_total_mm, 14, exact_mm);
}

TEST(FullBump, IsTheFirstOfSeveralEnds) {  // slide stop at 32, buffer at 30, solid at 36
  const WheelResult wheel = wheel_on_bench(upright(
      {.more =
           "stroke = [-4, 4]\n[linkage.l.limit.buffer]\nfrom = \"chassis.top\"\nto = \"carrier.eye\"\nmin = 6.25"}));
  EXPECT_EQ(wheel.bump_end, "buffer min");
}

TEST(FullBump, IsWhereASlideMeetsItsStop) {  // 3 modules above its guide: 24 mm, droop at 16
  const WheelResult wheel = wheel_on_bench(upright({.more = "stroke = [-3, 3]"}));
  EXPECT_EQ(wheel.bump_end, "way max");
  EXPECT_NEAR(*wheel.bump_total_mm, 8, exact_mm);
}

TEST(FullBump, IsWhereATurnStopIsMet) {  // droop where the torsion spring is unloaded, -20 degrees; stop at 25
  const WheelResult wheel =
      wheel_on_bench(arm({.seat = "[4, 7.5]",
                          .more = "[linkage.l.spring.twist]\nkind = \"torsion\"\nbetween = [\"chassis\", "
                                  "\"arm\"]\nrate_n_mm_per_deg = 20\nfree_deg = -20\nmax_deg = 25\n"}));
  EXPECT_EQ(wheel.bump_end, "twist max");
  EXPECT_NEAR(*wheel.bump_total_mm, 64 * (std::sin(25 * M_PI / 180) + std::sin(20 * M_PI / 180)), exact_mm);
}

// Rocker (24 mm) about (16, 48), rod of 48 mm to the arm's hole at 40 mm: when the arm goes up, rocker and rod end up
// lying upon one another, 48 - 24 = 24 mm from rocker pin to arm hole. Cosine rule about the arm's root.
const double dead_rad = std::atan2(48, 16) - std::acos((1600 + 2560 - 24.0 * 24) / (2 * 40 * std::sqrt(2560.0)));

std::string arm_with_dead_point() {
  return arm({.seat = "[5, 12.5]",
              .more = coil("main", "arm.coil", "chassis.seat", 120, 10, 0.2) +
                      "[[linkage.l.pin]]\njoin = [\"chassis.far\", \"rocker.root\"]\n"
                      "[linkage.l.rod.link]\nfrom = \"arm.coil\"\nto = \"rocker.end\"\nlength = 6\n",
              .bodies = "rocker = { holes = { root = [0, 0], end = [3, 0] }, near = { end = [4.6, 4.5] } }",
              .chassis_holes = ", far = [2, 6]"});
}

TEST(FullBump, IsADeadPointWhereLinksGoStraight) {
  const WheelResult wheel = wheel_on_bench(arm_with_dead_point());
  EXPECT_EQ(wheel.bump_end, "dead point");
  EXPECT_THAT(wheel.bump_end_links, Contains("link"));
  EXPECT_THAT(wheel.bump_end_links, Contains("rocker"));
  // The coil hangs free at 120 mm between (40, 100) and the arm's hole.
  const double hangs_at_rad = std::atan2(100, 40) - std::acos((1600 + 11600 - 14400.0) / (2 * 40 * std::sqrt(11600.0)));
  EXPECT_NEAR(*wheel.bump_total_mm, 64 * (std::sin(dead_rad) - std::sin(hangs_at_rad)), 1e-8);
}

/// Where circles about A and B meet, to the right of the way from A to B.
std::optional<Vec2> right_of(const Vec2& A, double radius_A, const Vec2& B, double radius_B) {
  const Vec2 d = B - A;
  const double along = (radius_A * radius_A - radius_B * radius_B + d.squaredNorm()) / (2 * d.norm());
  if (along * along > radius_A * radius_A) return std::nullopt;
  return A + along * d.normalized() + std::sqrt(radius_A * radius_A - along * along) * Vec2(d.y(), -d.x()).normalized();
}
std::optional<Vec2> left_of(const Vec2& A, double radius_A, const Vec2& B, double radius_B) {
  return right_of(B, radius_B, A, radius_A);
}

/// A place of a body that is turned so that `arm`, from its pin, points to X.
Vec2 carried(const Vec2& pin, const Vec2& arm, const Vec2& X, const Vec2& hole) {
  const std::complex<double> turn = std::complex(X.x() - pin.x(), X.y() - pin.y()) / std::complex(arm.x(), arm.y()),
                             to = turn * std::complex(hole.x(), hole.y());
  return pin + Vec2(to.real(), to.imag());
}

/// An arm works a bell crank that works another one by a rod; on that one the coil.
struct CoilLengthAt {
  double height_mm, length_mm;
};
std::optional<CoilLengthAt> two_cranks_at(double angle_rad) {
  const double m = 8;
  const Vec2 crank_pin = m * Vec2(3, 4), second_pin = m * Vec2(-4, 11), seat = m * Vec2(-10, 17.5);
  const Vec2 straight_on(std::cos(angle_rad), std::sin(angle_rad)), root(0, 0);
  const Vec2 to_rod = carried(root, {1, 0}, straight_on, m * Vec2(6.35, 0.26)),
             to_wheel = carried(root, {1, 0}, straight_on, m * Vec2(7.35, -0.24));
  const Vec2 arm = m * Vec2(3.11, 0.42), second_arm = m * Vec2(2.5, 1);
  const auto X = right_of(crank_pin, arm.norm(), to_rod, m * 7);
  if (!X) return std::nullopt;
  const auto Y = left_of(second_pin, second_arm.norm(), carried(crank_pin, arm, *X, m * Vec2(6, 0)),
                         m * std::sqrt(7.95 * 7.95 - 1));
  if (!Y) return std::nullopt;
  const Vec2 coil = carried(second_pin, second_arm, *Y, m * Vec2(0.5, 3)) - seat;
  return CoilLengthAt{to_wheel.y(), std::sqrt(coil.squaredNorm() + 16)};  // half a module across
}

// The coil is solid for 0.4 mm of the way only; short of the dead point, 0.4 mm on, it is long again.
TEST(FullBump, IsWhereACoilGoesSolidThatWouldBeLongerAgainFurtherOn) {
  const WheelResult wheel = wheel_on_bench(
      "[linkage.l]\nplane = \"side\"\n[linkage.l.body]\n"
      "chassis = { holes = { arm = [0, 0], crank = [3, 4], second = [-4, 11], seat = [-10, 17.5] } }\n"
      "arm = { holes = { root = [-0.35, -0.26], wheel = [7, -0.5], rod = [6, 0] }, near = { wheel = [7, -0.5] } }\n"
      "crank = { holes = { root = [0, 0], in = [3.11, 0.42], out = [6, 0] }, near = { in = [3.4, 0.9] } }\n"
      "second = { holes = { root = [0, 0], in = [2.5, 1], coil = [0.5, 3] }, near = { in = [-1.5, 12] } }\n"
      "[[linkage.l.pin]]\njoin = [\"chassis.arm\", \"arm.root\"]\n"
      "[[linkage.l.pin]]\njoin = [\"chassis.crank\", \"crank.root\"]\n"
      "[[linkage.l.pin]]\njoin = [\"chassis.second\", \"second.root\"]\n"
      "[linkage.l.rod.up]\nfrom = \"arm.rod\"\nto = \"crank.in\"\nlength = 7\n"
      "[linkage.l.rod.on]\nfrom = \"crank.out\"\nto = \"second.in\"\nlength = 7.95\nacross = 1\n"
      "[linkage.l.spring.main]\nkind = \"coil\"\nfree_mm = 72\nsolid_mm = 46.8\nrate_n_per_mm = 0.3\n"
      "from = \"second.coil\"\nto = \"chassis.seat\"\nacross = 0.5\n"
      "[linkage.l.wheel.hub]\nat = \"arm.wheel\"\npart = \"tyre-62\"\n");
  // Steps of 1e-6 rad from the start both ways, then a straight line: 1e-8 mm.
  const auto height_where_it_is = [](double length_mm, double step_rad) -> double {
    CoilLengthAt before = *two_cranks_at(0);
    for (double angle = step_rad;; angle += step_rad) {
      const auto here = two_cranks_at(angle);
      if (!here) return NAN;
      if ((before.length_mm - length_mm) * (here->length_mm - length_mm) <= 0)
        return before.height_mm + (length_mm - before.length_mm) / (here->length_mm - before.length_mm) *
                                      (here->height_mm - before.height_mm);
      before = *here;
    }
  };
  EXPECT_EQ(wheel.droop_end, "main free");
  EXPECT_EQ(wheel.bump_end, "main solid");
  EXPECT_NEAR(*wheel.bump_total_mm, height_where_it_is(46.8, 1e-6) - height_where_it_is(72, -1e-6), 1e-8);
}

// Load on the arm above turned to an angle: the coil's push 0.2 (120 - L) times its lever about the root, over the wheel's.
double arm_load(double angle_rad) {
  const Vec2 hole = 40 * Vec2(std::cos(angle_rad), std::sin(angle_rad)), line = Vec2(40, 100) - hole;
  const double lever = (hole.x() * line.y() - hole.y() * line.x()) / line.norm();
  return 0.2 * (120 - line.norm()) * lever / (64 * std::cos(angle_rad));
}

TEST(BumpLoad, IsBoundedAtADeadPointWhoseLinksNoSpringWorks) {
  // The load has its top a little before the dead point: found here in steps of 1e-6 rad, where a top is flat.
  double top = 0;
  for (double angle = 0; angle < dead_rad; angle += 1e-6) top = std::max(top, arm_load(angle));
  ASSERT_GT(top, arm_load(dead_rad));
  const WheelResult wheel = wheel_on_bench(arm_with_dead_point());
  ASSERT_TRUE(wheel.bump_load_n.has_value());
  EXPECT_NEAR(*wheel.bump_load_n, top, 1e-9);
}

TEST(BumpLoad, IsNotThereWhereItGrowsTowardsADeadPoint) {
  // The coil pushes against the rocker, which turns ever faster for the arm's last bit of rise.
  const WheelResult wheel = wheel_on_bench(
      arm({.seat = "[3.5, -2]",
           .more = coil("main", "rocker.coil", "chassis.seat", 90, 20, 0.5) +
                   "[[linkage.l.pin]]\njoin = [\"chassis.far\", \"rocker.root\"]\n"
                   "[linkage.l.rod.link]\nfrom = \"arm.coil\"\nto = \"rocker.end\"\nlength = 6\n",
           .bodies = "rocker = { holes = { root = [0, 0], end = [3, 0], coil = [0, 3] }, near = { end = [5, 6], "
                     "coil = [2, 9] } }",
           .chassis_holes = ", far = [2, 6]"}),
      2);
  EXPECT_EQ(wheel.bump_end, "dead point");
  EXPECT_FALSE(wheel.bump_load_n.has_value());
  EXPECT_FALSE(wheel.reserve.has_value());
  EXPECT_TRUE(wheel.bump_total_mm.has_value());
}

// ------------------------------------------------------------------------------------------------------ over centre

// A coil from the wheel's slide to a hole 48 mm to the side at the height where it is shortest. With the wheel s below,
// L = sqrt(48^2 + s^2) and the load is k (60 / L - 1) s: the shallow truss of R. von Mises (Z. Angew. Math. Mech. 3, 1923),
// greatest at L^3 = 60 * 48^2. Its droop is at s = sqrt(60^2 - 48^2) = 36.
constexpr double k_side = 2, k_up = 0.15;

double truss_load(double s) { return k_side * (60 / std::hypot(48, s) - 1) * s; }

std::string truss(const std::string& more) {
  return carrier({.chassis_holes = ", side = [6, 0], top = [0, 12]",
                  .more = more + coil("main", "carrier.eye", "chassis.side", 60, 40, k_side),
                  .near_eye = "[0, -4.5]"});
}

TEST(BumpLoad, IsTheTopOfALoadCurveThatTurnsDown) {
  const double L = std::cbrt(60.0 * 48 * 48), top = truss_load(std::sqrt(L * L - 48 * 48));
  const Solution solution = rested(on_bench(truss("stroke = [-8, 3]\n"), 4));
  ASSERT_EQ(solution.corners.size(), 1u);
  const WheelResult& wheel = solution.corners[0].wheels[0];
  EXPECT_NEAR(*wheel.bump_load_n, top, 1e-8 * top);
  EXPECT_NEAR(*wheel.reserve, top / 4, 1e-8 * top);
  EXPECT_EQ(wheel.bump_end, "way max");
  EXPECT_NEAR(*wheel.bump_total_mm, 36 + 24, exact_mm);
  EXPECT_TRUE(says(solution, "snap-through"));
}

// With a soft coil above, free where the truss hangs: load = 0.15 (36 - s) + truss_load(s).
double total_load(double s) { return k_up * (36 - s) + truss_load(s); }

std::string truss_under_coil() { return truss(coil("over", "carrier.eye", "chassis.top", 132, 20, k_up)); }

TEST(SnapThrough, IsNotYetWhereTheLoadCurveStillRises) {
  const WheelResult wheel = wheel_on_bench(truss_under_coil(), 6);
  const double s = 36 - *wheel.travel_mm;
  EXPECT_GT(s, 19.2);  // before the top at s = 19.2
  EXPECT_NEAR(total_load(s), 6, 1e-9);
}

TEST(SnapThrough, DropsToTheNextStanceAndSaysSo) {
  // 9.5 N are more than the top near s = 19 (8.7 N) and less than the 10.8 N where the truss is free again: it falls
  // through to the one place beyond the middle where the curve rises through 9.5 N.
  double low = -36, high = -30;
  ASSERT_GT(total_load(low), 9.5);
  ASSERT_LT(total_load(high), 9.5);
  for (int i = 0; i < 100; ++i) (total_load(0.5 * (low + high)) > 9.5 ? low : high) = 0.5 * (low + high);
  const Solution solution = rested(on_bench(truss_under_coil(), 9.5));
  ASSERT_EQ(solution.corners.size(), 1u);
  EXPECT_NEAR(*solution.corners[0].wheels[0].travel_mm, 36 - low, 1e-8);
  EXPECT_EQ(solution.corners[0].wheels[0].state, WheelState::riding);
  EXPECT_TRUE(says(solution, "snap-through"));
}

}  // namespace
}  // namespace ridepitch
