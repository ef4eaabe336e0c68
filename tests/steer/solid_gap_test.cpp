// Distances of wheels and boxes against closed forms, and against the least over points spread densely over both.

#include "steer/solid_gap.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <random>
#include <vector>

#include <gtest/gtest.h>
#include <Eigen/Geometry>

namespace ridepitch {
namespace {

constexpr double exact_mm = 1e-8;
constexpr double pi = std::numbers::pi;

const Cylinder tyre{Vec3(0, 0, 0), Vec3::UnitY(), 30, 10};

Cuboid box(double x, double y, double z, double half = 5) { return {Vec3(x, y, z), Vec3::Constant(half)}; }

TEST(WheelAndBox, ApartAlongTheAxleByTheirFaces) {  // 40 - 5 - 10
  EXPECT_NEAR(gap_between(tyre, box(3, 40, 2)).mm, 25, exact_mm);
}

TEST(WheelAndBox, ApartAcrossTheTreadByRimAndFace) {  // 50 - 5 - 30
  EXPECT_NEAR(gap_between(tyre, box(50, 0, 0)).mm, 15, exact_mm);
}

TEST(WheelAndBox,
     ApartFromAnEdgeAlongTheAxleByThePlaneDistance) {  // edge at (35, 35): its distance from the axle less 30
  EXPECT_NEAR(gap_between(tyre, box(40, 0, 40)).mm, std::hypot(35, 35) - 30, exact_mm);
}

TEST(WheelAndBox, ApartFromACornerByRimAndCorner) {  // corner (35, 15, 35), rim at y = 10
  EXPECT_NEAR(gap_between(tyre, box(40, 20, 40)).mm, std::hypot(std::hypot(35, 35) - 30, 5), exact_mm);
}

TEST(WheelAndBox, ApartFromALeaningWheelByItsLowestRimPoint) {
  // Axis leans by 20 degrees about x: lowest point 30 cos 20 + 10 sin 20 below the centre; a floor 50 below.
  const double lean = 20 * pi / 180;
  const Cylinder leaning{Vec3(0, 0, 0), Vec3(0, std::cos(lean), std::sin(lean)), 30, 10};
  const Cuboid floor{Vec3(0, 0, -60), Vec3(500, 500, 10)};
  EXPECT_NEAR(gap_between(leaning, floor).mm, 50 - 30 * std::cos(lean) - 10 * std::sin(lean), exact_mm);
}

TEST(WheelAndBox, GoIntoEachOtherByTheLeastShiftThatPartsThem) {
  EXPECT_NEAR(gap_between(tyre, box(33, 0, 0)).mm, -2, 1e-6);  // 33 - 5 - 30, against 15 along the axle
  EXPECT_NEAR(gap_between(tyre, box(0, 14, 0)).mm, -1, 1e-6);  // 14 - 5 - 10
  EXPECT_NEAR(gap_between(tyre, box(0, 0, 0)).mm, -15, 1e-6);  // out along the axle: 10 + 5
}

TEST(WheelAndBox, TouchWithoutAGap) { EXPECT_NEAR(gap_between(tyre, box(35, 0, 0)).mm, 0, 1e-6); }

TEST(TwoWheels, ApartBesideBehindAndSquareToEachOther) {
  EXPECT_NEAR(gap_between(tyre, {Vec3(4, 50, 3), Vec3::UnitY(), 20, 8}).mm, 32, exact_mm);  // 50 - 10 - 8
  EXPECT_NEAR(gap_between(tyre, {Vec3(80, 3, 0), Vec3::UnitY(), 20, 8}).mm, 30, exact_mm);  // 80 - 30 - 20
  EXPECT_NEAR(gap_between(tyre, {Vec3(0, 60, 0), Vec3::UnitX(), 20, 8}).mm, 30, exact_mm);  // 60 - 10 - 20
}

TEST(TwoWheels, ApartAsCirclesInSpaceAre) {  // discs without width in planes y = 0 and y = 12, 70 apart along x
  EXPECT_NEAR(gap_between({Vec3(0, 0, 0), Vec3::UnitY(), 30, 0}, {Vec3(70, 12, 0), Vec3::UnitY(), 20, 0}).mm,
              std::hypot(20, 12), exact_mm);
}

TEST(TwoWheels, GoIntoEachOther) {
  EXPECT_NEAR(gap_between(tyre, {Vec3(45, 0, 0), Vec3::UnitY(), 20, 10}).mm, -5, 1e-6);
}

// ------------------------------------------------------------------------------- dense points

double point_to_cylinder(const Vec3& p, const Cylinder& c) {  // closed form, outside
  const double along = (p - c.centre_mm).dot(c.axis);
  const double out = ((p - c.centre_mm) - along * c.axis).norm();
  return std::hypot(std::max(0.0, std::abs(along) - c.half_width_mm), std::max(0.0, out - c.radius_mm));
}

double point_to_box(const Vec3& p, const Cuboid& b) {  // closed form, outside
  return ((p - b.centre_mm).cwiseAbs() - b.half_mm).cwiseMax(0.0).norm();
}

// Least of f over the surface of a wheel: faces are convex, so the nearest point of a face is found from rim and face points;
// rims densely, then drawn closer by a finer ring about the best.
template <class F>
double least_over(const Cylinder& c, const F& f) {
  const Vec3 across = c.axis.unitOrthogonal(), other = c.axis.cross(across);
  const auto at = [&](double angle, double r, double y) {
    return Vec3(c.centre_mm + y * c.axis + r * (std::cos(angle) * across + std::sin(angle) * other));
  };
  double best = 1e300, angle = 0, r = 0, y = 0;
  const auto look = [&](double a, double radius, double along) {
    const double d = f(at(a, radius, along));
    if (d < best) best = d, angle = a, r = radius, y = along;
  };
  for (int i = 0; i < 180; ++i)
    for (int k = 0; k <= 12; ++k)
      for (int m = -6; m <= 6; ++m) look(2 * pi * i / 180, c.radius_mm * k / 12, c.half_width_mm * m / 6);
  double step = 0.05;
  while (step > 1e-11) {
    const double before = best, a0 = angle, r0 = r, y0 = y;
    for (const int i : {-1, 0, 1})
      for (const int k : {-1, 0, 1})
        for (const int m : {-1, 0, 1})
          look(a0 + i * step, std::clamp(r0 + k * step * c.radius_mm, 0.0, c.radius_mm),
               std::clamp(y0 + m * step * c.radius_mm, -c.half_width_mm, c.half_width_mm));
    if (!(best < before)) step /= 2;
  }
  return best;
}

struct Dice {
  std::mt19937 engine{7};
  double in(double low, double high) { return std::uniform_real_distribution<double>(low, high)(engine); }
  Vec3 point(double size) { return {in(-size, size), in(-size, size), in(-size, size)}; }
  Vec3 direction() {
    for (;;) {
      const Vec3 v = point(1);
      if (v.norm() > 0.1 && v.norm() < 1) return v.normalized();
    }
  }
  Cylinder cylinder(double size) { return {point(size), direction(), in(5, 35), in(0, 1) < 0.2 ? 0 : in(1, 20)}; }
};

TEST(WheelAndBox, AreAsFarApartAsTheNearestOfManyPoints) {
  Dice dice;
  int apart = 0;
  for (int i = 0; i < 60; ++i) {
    const Cylinder c = dice.cylinder(60);
    const Cuboid b{dice.point(60), Vec3(dice.in(1, 40), dice.in(1, 40), dice.in(1, 40))};
    const SolidGap gap = gap_between(c, b);
    const double found = least_over(c, [&](const Vec3& p) { return point_to_box(p, b); });
    if (gap.mm < 0) {
      EXPECT_LT(found, 1e-9) << i;
      continue;
    }
    ++apart;
    EXPECT_NEAR(gap.mm, found, 1e-5) << i;  // the search over points can only find more
    EXPECT_LE(gap.mm, found + 1e-8) << i;
    EXPECT_NEAR(point_to_cylinder(gap.on_first_mm, c), 0, 1e-9);
    EXPECT_NEAR(point_to_box(gap.on_second_mm, b), 0, 1e-9);
    EXPECT_NEAR((gap.on_first_mm - gap.on_second_mm).norm(), gap.mm, 1e-9);
  }
  EXPECT_GT(apart, 20);
}

TEST(TwoWheels, AreAsFarApartAsTheNearestOfManyPoints) {
  Dice dice;
  int apart = 0;
  for (int i = 0; i < 60; ++i) {
    const Cylinder a = dice.cylinder(60), b = dice.cylinder(60);
    const SolidGap gap = gap_between(a, b);
    const double found = least_over(a, [&](const Vec3& p) { return point_to_cylinder(p, b); });
    if (gap.mm < 0) {
      EXPECT_LT(found, 1e-9) << i;
      continue;
    }
    ++apart;
    EXPECT_NEAR(gap.mm, found, 1e-5) << i;
    EXPECT_LE(gap.mm, found + 1e-8) << i;
  }
  EXPECT_GT(apart, 20);
}

// An overlap is told by the support functions of both, written out here once more: no direction parts them with less.
TEST(WheelAndBox, GoIntoEachOtherByNoMoreThanAnyDirectionSays) {
  Dice dice;
  int into = 0;
  for (int i = 0; i < 60; ++i) {
    const Cylinder c = dice.cylinder(30);
    const Cuboid b{dice.point(30), Vec3(dice.in(5, 40), dice.in(5, 40), dice.in(5, 40))};
    const SolidGap gap = gap_between(c, b);
    if (gap.mm >= 0) continue;
    ++into;
    double least = 1e300;
    for (int k = 0; k < 200000; ++k) {
      const double z = 1 - (2.0 * k + 1) / 200000, r = std::sqrt(1 - z * z), angle = 2.399963229728653 * k;
      const Vec3 n(r * std::cos(angle), r * std::sin(angle), z);
      const double along = n.dot(c.axis);
      const double wheel_far = n.dot(c.centre_mm) + c.radius_mm * std::sqrt(std::max(0.0, 1 - along * along)) +
                               c.half_width_mm * std::abs(along);
      least = std::min(least, wheel_far - n.dot(b.centre_mm) + b.half_mm.dot(n.cwiseAbs()));
    }
    EXPECT_LE(-gap.mm, least + 1e-9) << i;
    EXPECT_GE(-gap.mm, least - 0.4) << i;  // directions 0.4 degree apart, arms of up to 60 mm
  }
  EXPECT_GT(into, 20);
}

// Shrinking a wheel that overlaps must reach 0 without a jump: the gap and the overlap are one function.
TEST(WheelAndBox, GapAndOverlapMeetAtZero) {
  const Cuboid b = box(40, 8, 10);
  double before = gap_between({Vec3::Zero(), Vec3(0.1, 1, 0.2).normalized(), 25, 10}, b).mm;
  EXPECT_GT(before, 0);
  for (double radius = 25.1; radius < 50; radius += 0.1) {
    const double now = gap_between({Vec3::Zero(), Vec3(0.1, 1, 0.2).normalized(), radius, 10}, b).mm;
    EXPECT_LE(now, before + 1e-7) << radius;
    EXPECT_LT(before - now, 0.1 + 1e-7) << radius;  // no point moves faster than the radius grows
    before = now;
  }
  EXPECT_LT(before, 0);
}

}  // namespace
}  // namespace ridepitch
