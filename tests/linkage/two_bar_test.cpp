// The closed-form plan against circles worked out here, and where it must say no. closed_form_test.cpp holds it to Newton.

#include "linkage/two_bar.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <set>

#include "linkage/loops.hpp"

namespace ridepitch {
namespace {

constexpr double same_mm = 1e-9;

TEST(TwoBarPlan, PutsAFourBarWhereItsCirclesMeet) {
  // A = 40 (cos, sin)(40 deg); B where circles of 120 about A and 80 about (100, 0) meet: A. Norton's loop by
  // intersection of circles, worked out here.
  const Model model = written(four_bar(5, 15, 10, 12.5));
  const Mechanism mechanism = make_mechanism(model.linkages[0]);
  const auto plan = plan_two_bars(mechanism);
  ASSERT_TRUE(plan);
  const double crank = 40 * M_PI / 180;
  const Vec2 A(40 * std::cos(crank), 40 * std::sin(crank)), O4(100, 0);
  const double d = (O4 - A).norm(), a = (120.0 * 120 - 80 * 80 + d * d) / (2 * d), b = std::sqrt(120.0 * 120 - a * a);
  const Vec2 u = (O4 - A) / d, n(-u.y(), u.x());
  std::set<int> met;
  for (unsigned sides = 0; sides < 1u << plan->steps.size(); ++sides) {
    Eigen::VectorXd q = Eigen::VectorXd::Zero(9);
    ASSERT_TRUE(lay_down(*plan, {crank}, sides, q));
    const Vec2 B = place_at(model.linkages[0], q, "rocker.b");
    for (const int side : {1, -1})
      if ((B - (A + a * u + side * b * n)).norm() < same_mm) met.insert(side);
  }
  EXPECT_EQ(met.size(), 2u);
}

TEST(TwoBarPlan, SaysSoWhereCirclesDoNotMeet) {  // crank turned away: |A O4| = 140 > 60 + 70
  const Model model = written(four_bar(5, 7.5, 8.75, 12.5));
  const Mechanism mechanism = make_mechanism(model.linkages[0]);
  const auto plan = plan_two_bars(mechanism);
  ASSERT_TRUE(plan);
  Eigen::VectorXd q = Eigen::VectorXd::Zero(9);
  EXPECT_FALSE(lay_down(*plan, {M_PI}, 0, q));
}

TEST(TwoBarPlan, DoesNotExistWhereNoPointOfABodyIsKnown) {
  // A plate on two rods of the chassis: one freedom, but no body that turns about a known point.
  const Model model = written(R"(
[linkage.l]
plane = "side"
[linkage.l.body]
chassis = { holes = { a = [0, 0], b = [8, 0] } }
plate = { holes = { a = [0, 0], b = [6, 0], hub = [3, -2] }, near = { a = [1, -5], b = [7, -5] } }
[linkage.l.rod.one]
from = "chassis.a"
to = "plate.a"
length = 5
[linkage.l.rod.other]
from = "chassis.b"
to = "plate.b"
length = 5
[linkage.l.wheel.hub]
at = "plate.hub"
part = "tyre-62"
)");
  EXPECT_FALSE(plan_two_bars(make_mechanism(model.linkages[0])).has_value());
}

}  // namespace
}  // namespace ridepitch
