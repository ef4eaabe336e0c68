// Two roads to one configuration: the closed form of two-bar groups, and Newton on the ties.

#include <cmath>

#include <gtest/gtest.h>

#include "linkage/closure.hpp"
#include "linkage/loops.hpp"
#include "linkage/mobility.hpp"
#include "linkage/two_bar.hpp"
#include "rigs/texts.hpp"

namespace ridepitch {
namespace {

const std::string rod_and_rocker = rocker_arm({.pushrod = 6.5, .across = 1});

const std::string wishbones =
    "[linkage.l]\nplane = \"front\"\n[linkage.l.body]\n"
    "chassis = { holes = { low = [0, 0], high = [1, 4] } }\n"
    "arm = { holes = { root = [0, 0], ball = [6, 0], axle = [6, 1] } }\n"
    "upper = { holes = { root = [0, 0], ball = [4.5, 0] } }\n"
    "upright = { holes = { low = [0, 0], high = [-0.5, 4] } }\n"
    "[[linkage.l.pin]]\njoin = [\"chassis.low\", \"arm.root\"]\n[[linkage.l.pin]]\njoin = [\"chassis.high\", "
    "\"upper.root\"]\n"
    "[[linkage.l.pin]]\njoin = [\"arm.ball\", \"upright.low\"]\n[[linkage.l.pin]]\njoin = [\"upper.ball\", "
    "\"upright.high\"]\n"
    "[linkage.l.wheel.hub]\nat = \"arm.axle\"\npart = \"tyre-62\"\n";

const std::string slider_crank =
    "[linkage.l]\nplane = \"side\"\n[linkage.l.body]\n"
    "chassis = { holes = { crank = [0, 0], guide = [0, -2.5] } }\n"
    "crank = { holes = { root = [0, 0], pin = [5, 0] } }\n"
    "slider = { holes = { eye = [0, 0], axle = [1, 0] } }\n"
    "[[linkage.l.pin]]\njoin = [\"chassis.crank\", \"crank.root\"]\n"
    "[linkage.l.slide.way]\nhole = \"slider.eye\"\nthrough = \"chassis.guide\"\nalong = [1, 0]\n"
    "[linkage.l.rod.link]\nfrom = \"crank.pin\"\nto = \"slider.eye\"\nlength = 15\n"
    "[linkage.l.wheel.hub]\nat = \"slider.axle\"\npart = \"tyre-62\"\n";

// Both sides of every group, over the input's whole turn: where the loci meet the ties are met to rounding, and Newton
// started a little off comes back to the same place.
void expect_plan_meets_ties(const std::string& text, std::size_t groups) {
  const Model model = written(text);
  ASSERT_EQ(model.linkages.size(), 1u);
  Mechanism mechanism = make_mechanism(model.linkages[0]);
  const auto plan = plan_two_bars(mechanism);
  ASSERT_TRUE(plan.has_value());
  EXPECT_EQ(plan->steps.size(), groups);
  EXPECT_EQ(free_inputs(*plan), 1);
  int met = 0;
  for (unsigned sides = 0; sides < (1u << groups); ++sides)
    for (int k = 0; k < 36; ++k) {
      Eigen::VectorXd q = Eigen::VectorXd::Zero(mechanism.coordinates());
      const double input = plan->inputs[0].slides ? -175 + 10.0 * k : (k + 0.5) * M_PI / 18;
      if (!lay_down(*plan, {input}, sides, q)) continue;
      ++met;
      set_rank(mechanism, q);
      Closure room = linearised(mechanism, q);
      EXPECT_LT(room.residual.lpNorm<Eigen::Infinity>(), 1e-11) << "input " << k << ", sides " << sides;
      if (room.part.least_pivot_share < 1e-3) continue;  // next to a dead point "near by" is another place
      Eigen::VectorXd off = q;
      for (Eigen::Index i = 0; i < off.size(); ++i) off[i] += 1e-4 * std::sin(1.0 + static_cast<double>(i));
      // The free coordinates keep what they were moved by: they are put back before the ties are closed.
      for (int f = room.part.rank; f < room.part.cols(); ++f)
        off[room.part.col[static_cast<std::size_t>(f)]] = q[room.part.col[static_cast<std::size_t>(f)]];
      ASSERT_TRUE(close(mechanism, off, room));
      EXPECT_LT((off - q).lpNorm<Eigen::Infinity>(), 1e-9) << "input " << k << ", sides " << sides;
    }
  EXPECT_GT(met, 20);
}

TEST(TwoBarPlan, MeetsTheTiesOfARodAndRockerOnBothSides) { expect_plan_meets_ties(rod_and_rocker, 1); }
TEST(TwoBarPlan, MeetsTheTiesOfDoubleWishbonesOnBothSides) { expect_plan_meets_ties(wishbones, 1); }
TEST(TwoBarPlan, MeetsTheTiesOfASliderCrankOnBothSides) { expect_plan_meets_ties(slider_crank, 1); }

TEST(TwoBarPlan, IsDeclinedWhereTiesAreLeftOver) {
  const Model model =
      written(rod_and_rocker + "[linkage.l.rod.second]\nfrom = \"arm.axle\"\nto = \"rocker.push\"\nlength = 8\n");
  EXPECT_FALSE(plan_two_bars(make_mechanism(model.linkages[0])).has_value());
}

}  // namespace
}  // namespace ridepitch
