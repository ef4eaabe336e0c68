// Walking a linkage round: it comes back to where it was, having gone where Grashof's rule says.

#include "linkage/walk.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "linkage/loops.hpp"
#include "linkage/mobility.hpp"

namespace ridepitch {
namespace {

struct Walked {
  bool closed = false;
  double least_rad = 0, most_rad = 0;  // of the crank
  double gap_mm = 0;
  Eigen::VectorXd first, last;
};

Walked walk(const Model& model, bool forward) {
  const AssembleResult result = assemble(model.linkages[0], model.module_mm);
  EXPECT_TRUE(result.assembly.has_value());
  Walked out;
  if (!result.assembly) return out;
  out.first = result.assembly->q;
  out.least_rad = out.most_rad = out.first[2];
  out.closed = walk_round(result.assembly->mechanism, out.first, forward, [&](const Eigen::VectorXd& q) {
    out.least_rad = std::min(out.least_rad, q[2]);
    out.most_rad = std::max(out.most_rad, q[2]);
    out.gap_mm = std::max(out.gap_mm, greatest_gap(result.assembly->mechanism, q));
    out.last = q;
    return true;
  });
  return out;
}

TEST(WalkRound, TurnsAGrashofCrankOnceRoundAndCloses) {  // 4 + 12 < 8 + 10, the crank the shortest
  const Model model = written(four_bar(4, 12, 8, 10, ", near = { b = [13, 7] }"));
  for (const bool forward : {true, false}) {
    const Walked walked = walk(model, forward);
    EXPECT_TRUE(walked.closed);
    EXPECT_LT(walked.gap_mm, 1e-9);
    EXPECT_NEAR(walked.most_rad - walked.least_rad, 2 * M_PI, 0.15);  // one step of the walk
  }
}

TEST(WalkRound, SwingsATripleRockerThroughItsDeadPointsAndCloses) {
  // 4 + 11 > 5 + 9: no bar turns round. The crank (5) is stopped where coupler and rocker (9 + 4) are in line:
  // |A O4| = 13 = sqrt(25 + 121 - 110 cos) at cos = -23/110.
  const Model model = written(four_bar(5, 9, 4, 11, ", near = { b = [12, 4] }"));
  const Walked walked = walk(model, true);
  const double swing = std::acos(-23.0 / 110);
  EXPECT_TRUE(walked.closed);
  EXPECT_LT(walked.gap_mm, 1e-9);
  EXPECT_NEAR(walked.most_rad, swing, 0.02);
  EXPECT_NEAR(walked.least_rad, -swing, 0.02);
  EXPECT_LE(walked.most_rad, swing + 1e-7);
}

TEST(CanReach, TellsTheTwoClosuresOfAGrashofFourBarApart) {
  const Model above = written(four_bar(4, 12, 8, 10, ", near = { b = [13, 7] }")),
              below = written(four_bar(4, 12, 8, 10, ", near = { b = [13, -7] }"));
  const auto one = assemble(above.linkages[0], 8).assembly, other = assemble(below.linkages[0], 8).assembly;
  ASSERT_TRUE(one && other);
  EXPECT_FALSE(can_reach(one->mechanism, one->q, other->q, 0.4));
  EXPECT_TRUE(can_reach(one->mechanism, one->q, one->q, 0.4));
}

TEST(CanReach,
     FindsTheWayThroughADeadPoint) {  // the four-bar above that swings: its mirror image lies on the same curve
  const Model above = written(four_bar(5, 9, 4, 11, ", near = { b = [12, 4] }")),
              below = written(four_bar(5, 9, 4, 11, ", near = { b = [12, -4] }"));
  const auto one = assemble(above.linkages[0], 8).assembly, other = assemble(below.linkages[0], 8).assembly;
  ASSERT_TRUE(one && other);
  EXPECT_TRUE(can_reach(one->mechanism, one->q, other->q, 0.4));
}

}  // namespace
}  // namespace ridepitch
