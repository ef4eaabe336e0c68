// The Peaucellier-Lipkin cell: OA * OP = 50^2 - 30^2 = 1600, and A runs on a circle of radius 20 through O, so P runs
// on the line x = 1600 / (2 * 20) = 40. Source: inversion in a circle, classical.

#include <gtest/gtest.h>

#include <array>

#include "reference/linkages.hpp"

namespace ridepitch {
namespace {

struct CellPosition {
  double psi, A_x, A_y, P_y;
};
// Not at psi = 0: A and P meet there, the rhombus may fold, and the cell is no longer one linkage of one freedom.
constexpr std::array<CellPosition, 4> cell_positions{{{-40, 35.32088886, -12.85575219, -14.55880937},
                                                      {-20, 38.79385242, -6.84040287, -7.05307923},
                                                      {20, 38.79385242, 6.84040287, 7.05307923},
                                                      {40, 35.32088886, 12.85575219, 14.55880937}}};

TEST(Peaucellier, PutsItsPointWhereInversionDoes) {
  for (const CellPosition& at : cell_positions) {
    const Linkage linkage = peaucellier(at.psi);
    Cranked cranked = take_crank(linkage, "crank");
    ASSERT_TRUE(turn_to(cranked, at.psi));
    EXPECT_NEAR(place(cranked, "crank.A").x(), at.A_x, 1e-8) << at.psi;
    EXPECT_NEAR(place(cranked, "crank.A").y(), at.A_y, 1e-8) << at.psi;
    EXPECT_NEAR(place(cranked, "PQ1.P").x(), 40, 1e-9) << at.psi;
    EXPECT_NEAR(place(cranked, "PQ1.P").y(), at.P_y, 1e-8) << at.psi;
  }
}

TEST(Peaucellier, DrawsAStraightLine) {
  const Linkage linkage = peaucellier(40);
  Cranked cranked = take_crank(linkage, "crank");
  for (int psi = 70; psi >= 10; psi -= 5) {
    ASSERT_TRUE(turn_to(cranked, psi)) << psi;
    EXPECT_NEAR(place(cranked, "PQ1.P").x(), 40, 1e-9) << psi;
  }
}

}  // namespace
}  // namespace ridepitch
