// Linkages of six and eight links. Source, where no other stands beside a value: loop closure, worked out group by
// group as meeting circles.

#include <gtest/gtest.h>

#include <algorithm>
#include <array>

#include "reference/linkages.hpp"

namespace ridepitch {
namespace {

TEST(SixBar, OfWattPassesItsCranksAngleOnThroughTwoLoops) {
  constexpr std::array<std::array<double, 4>, 7> turn{{{0, 62.72038726, 10.57320360, 94.53279339},
                                                       {40, 57.32488007, 11.11727965, 90.89472656},
                                                       {90, 80.25691283, 9.29980934, 106.89980496},
                                                       {150, 110.45938427, 8.69664060, 128.64040465},
                                                       {210, 127.35761100, 9.44903775, 139.96441697},
                                                       {270, 123.85973180, 9.20634928, 137.72623162},
                                                       {330, 89.29624062, 8.90657921, 113.44338786}}};
  Linkage linkage = textbook_four_bar();
  add_second_four_bar(linkage, 91);
  Cranked cranked = take_crank(linkage, "crank");
  for (const auto& [crank, rocker, coupler, output] : turn) {
    ASSERT_TRUE(turn_to(cranked, crank));
    EXPECT_NEAR(wrapped_deg(angle_deg(cranked, "rocker")), rocker, 1e-8) << crank;
    EXPECT_NEAR(wrapped_deg(angle_deg(cranked, "coupler2")), coupler, 1e-8) << crank;
    EXPECT_NEAR(wrapped_deg(angle_deg(cranked, "output")), output, 1e-8) << crank;
  }
}

struct Dyad {
  double crank, left_x, left_y, right_x, right_y;
};
constexpr std::array<Dyad, 5> stephenson{{{-45, 81.115132, 102.444880, 115.504298, 29.089849},
                                          {0, 98.971273, 137.917315, 147.043224, 20.062474},
                                          {45, 114.659092, 150.423673, 139.780403, 20.750019},
                                          {90, 106.709665, 145.008607, 111.634767, 31.449946},
                                          {135, 86.301781, 119.026485, 92.549678, 50.006744}}};

TEST(SixBar, OfStephensonKeepsItsDyadOnItsSide) {
  for (const bool left : {true, false}) {
    Linkage linkage = textbook_four_bar(45);
    add_stephenson_links(linkage, left ? Vec2(115, 150) : Vec2(140, 21));
    Cranked cranked = take_crank(linkage, "crank");
    for (const Dyad& at : stephenson) {
      ASSERT_TRUE(turn_to(cranked, at.crank));
      EXPECT_NEAR(place(cranked, "PQ.Q").x(), left ? at.left_x : at.right_x, 1e-6) << at.crank;
      EXPECT_NEAR(place(cranked, "PQ.Q").y(), left ? at.left_y : at.right_y, 1e-6) << at.crank;
    }
  }
}

// At crank angles of 180, 225 and 270 degrees P is more than 160 mm from O6: the drive stops short of them.
TEST(SixBar, OfStephensonIsStoppedWhereItsDyadIsStretched) {
  Linkage linkage = textbook_four_bar(45);
  add_stephenson_links(linkage, Vec2(115, 150));
  Cranked cranked = take_crank(linkage, "crank");
  ASSERT_TRUE(turn_to(cranked, 135));
  EXPECT_FALSE(turn_to(cranked, 180));
  EXPECT_LT(angle_deg(cranked, "crank"), 180);
  EXPECT_LE((place(cranked, "PQ.P") - Vec2(150, 90)).norm(), 160 + 1e-7);
  EXPECT_GT((place(cranked, "PQ.P") - Vec2(150, 90)).norm(), 159);  // half a degree of the crank is under 1 mm of P
  ASSERT_TRUE(turn_to(cranked, -45));
  EXPECT_FALSE(turn_to(cranked, -90));
}

struct Leg {
  double crank;
  std::array<double, 8> JKEF;
};
// Lengths: T. Jansen's published eleven numbers (from memory).
constexpr std::array<Leg, 8> leg_positions{{
    {0, {-24.013535, 31.272097, -26.952107, -45.515170, -59.231515, -28.052930, -43.160111, -91.756933}},
    {45, {-33.848611, 33.491839, -20.426797, -42.952134, -56.075735, -34.231857, -24.398517, -91.790904}},
    {90, {-46.735652, 32.770166, -20.995301, -43.230639, -57.447599, -47.487389, -7.689066, -90.389351}},
    {135, {-57.078966, 29.054349, -33.622365, -46.855426, -66.831377, -62.477573, -6.017044, -87.339327}},
    {180, {-54.933935, 30.087885, -65.315069, -36.055566, -96.760126, -54.979053, -33.729730, -73.517097}},
    {225, {-34.122168, 33.518427, -68.450784, -32.644311, -105.035433, -29.736827, -64.561646, -81.489726}},
    {270, {-21.348972, 30.213067, -55.114709, -43.177630, -87.636587, -26.171237, -70.670563, -89.642837}},
    {315, {-19.471946, 29.334367, -39.410282, -47.074688, -70.078285, -26.916226, -59.513008, -91.761156}},
}};

TEST(WalkingLeg, PutsItsFootWhereItsLengthsSay) {
  const Linkage linkage = walking_leg();
  Cranked cranked = take_crank(linkage, "crank");
  for (const Leg& at : leg_positions) {
    ASSERT_TRUE(turn_to(cranked, at.crank));
    const std::array<const char*, 4> names{"upper.J", "BK.K", "DE.E", "foot.F"};
    for (std::size_t i = 0; i < 4; ++i) {
      EXPECT_NEAR(place(cranked, names[i]).x(), at.JKEF[2 * i], 1e-6) << names[i] << " at " << at.crank;
      EXPECT_NEAR(place(cranked, names[i]).y(), at.JKEF[2 * i + 1], 1e-6) << names[i] << " at " << at.crank;
    }
  }
}

// The foot over a whole turn: x from -71.521532 to -3.613298, y from -91.833880 to -69.376937 mm. A sample every
// degree misses an extreme by less than 0.01 mm.
TEST(WalkingLeg, StridesAsFarAsItsLengthsSay) {
  const Linkage linkage = walking_leg();
  Cranked cranked = take_crank(linkage, "crank");
  ASSERT_TRUE(turn_to(cranked, 0));
  Vec2 low(1e9, 1e9), high(-1e9, -1e9);
  for (int angle = 0; angle < 360; ++angle) {
    ASSERT_TRUE(turn_to(cranked, angle));
    low = low.cwiseMin(place(cranked, "foot.F"));
    high = high.cwiseMax(place(cranked, "foot.F"));
  }
  EXPECT_NEAR(low.x(), -71.521532, 0.01);
  EXPECT_NEAR(high.x(), -3.613298, 0.01);
  EXPECT_NEAR(low.y(), -91.833880, 0.01);
  EXPECT_NEAR(high.y(), -69.376937, 0.01);
}

}  // namespace
}  // namespace ridepitch
