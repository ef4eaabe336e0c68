// The four-bar linkage of the textbooks: crank 40, coupler 120, rocker 80, ground 100 mm.
//
// Angles are those of O2A, AB and O4B, counter-clockwise from O2 to O4. Source, where no other stands beside a value:
// R. L. Norton, Design of Machinery (McGraw-Hill), the four-bar examples of ch. 4 (position) and ch. 6 (velocity),
// its prints from memory; the digits follow from the loop equation.

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

#include "linkage/walk.hpp"
#include "reference/linkages.hpp"
#include "ride/sweep.hpp"

namespace ridepitch {
namespace {

constexpr double last_digit_deg = 1e-8;  // of the values below

Linkage crossed_four_bar() {
  const Vec2 A = polar(40, 40);
  return four_bar({}, A, meet(A, 120, Vec2(100, 0), 80, -1));
}

TEST(FourBar, StandsAtTheTextbookAnglesInBothClosures) {  // book prints 20.30, 57.33 and -60.98, -98.01
  const Linkage open = textbook_four_bar(), crossed = crossed_four_bar();
  Cranked as_open = take_crank(open, "crank"), as_crossed = take_crank(crossed, "crank");
  ASSERT_TRUE(turn_to(as_open, 40));
  ASSERT_TRUE(turn_to(as_crossed, 40));
  EXPECT_NEAR(wrapped_deg(angle_deg(as_open, "coupler")), 20.29788279, last_digit_deg);
  EXPECT_NEAR(wrapped_deg(angle_deg(as_open, "rocker")), 57.32488007, last_digit_deg);
  EXPECT_NEAR(wrapped_deg(angle_deg(as_crossed, "coupler")), -60.97796680, last_digit_deg);
  EXPECT_NEAR(wrapped_deg(angle_deg(as_crossed, "rocker")), -98.00496408, last_digit_deg);
}

TEST(FourBar, MovesAtTheTextbookSpeeds) {  // omega2 = 25 rad/s; book prints -4.121 and 6.998 rad/s
  const Linkage linkage = textbook_four_bar();
  Cranked cranked = take_crank(linkage, "crank");
  ASSERT_TRUE(turn_to(cranked, 40));
  const Eigen::VectorXd v = 25 * motion_of(cranked);
  EXPECT_NEAR(v[3 * moving_body(linkage, "coupler") + 2], -4.12091442, 1e-8);
  EXPECT_NEAR(v[3 * moving_body(linkage, "rocker") + 2], 6.99798524, 1e-8);
  const Vec2 v_A = velocity(cranked, "crank.A", v), v_B = velocity(cranked, "rocker.B", v);
  EXPECT_NEAR(v_A.norm(), 1000, 1e-9);
  EXPECT_NEAR(v_B.norm(), 559.838819, 1e-6);
  EXPECT_NEAR((v_B - v_A).norm(), 494.509730, 1e-6);
  const Vec2 v_P = velocity(cranked, "coupler.P", v);
  EXPECT_NEAR(v_P.x(), -452.55566295, 1e-8);
  EXPECT_NEAR(v_P.y(), 608.09896306, 1e-8);
}

struct CrankPosition {
  double crank, coupler_open, rocker_open, coupler_crossed, rocker_crossed, transmission;
};
// Loop closure; the transmission angle lies between coupler and rocker at B.
constexpr std::array<CrankPosition, 12> whole_turn{{
    {0, 36.33605751, 62.72038726, -36.33605751, -62.72038726, 26.38432975},
    {30, 22.40901460, 55.26777722, -56.43747800, -89.29624062, 32.85876262},
    {60, 18.37601766, 64.94348111, -65.20246656, -111.76993000, 46.56746344},
    {90, 18.88790267, 80.25691283, -62.49072164, -123.85973180, 61.36901016},
    {120, 21.96428431, 96.25042326, -54.16851181, -128.45465077, 74.28613895},
    {150, 27.25469777, 110.45938427, -44.15292450, -127.35761100, 83.20468650},
    {180, 34.77194403, 121.18862233, -34.77194403, -121.18862233, 86.41667830},
    {210, 44.15292450, 127.35761100, -27.25469777, -110.45938427, 83.20468650},
    {240, 54.16851181, 128.45465077, -21.96428431, -96.25042326, 74.28613895},
    {270, 62.49072164, 123.85973180, -18.88790267, -80.25691283, 61.36901016},
    {300, 65.20246656, 111.76993000, -18.37601766, -64.94348111, 46.56746344},
    {330, 56.43747800, 89.29624062, -22.40901460, -55.26777722, 32.85876262},
}};

double transmission_deg(const Cranked& cranked) {
  const Vec2 A = place(cranked, "crank.A"), B = place(cranked, "rocker.B"), O4 = place(cranked, "rocker.O");
  return std::acos((A - B).dot(O4 - B) / ((A - B).norm() * (O4 - B).norm())) / rad_per_deg;
}

TEST(FourBar, KeepsItsClosureOverTheWholeTurn) {
  const Linkage open = textbook_four_bar(), crossed = crossed_four_bar();
  Cranked as_open = take_crank(open, "crank"), as_crossed = take_crank(crossed, "crank");
  for (const CrankPosition& at : whole_turn) {
    ASSERT_TRUE(turn_to(as_open, at.crank)) << at.crank;
    ASSERT_TRUE(turn_to(as_crossed, at.crank)) << at.crank;
    EXPECT_NEAR(wrapped_deg(angle_deg(as_open, "coupler")), at.coupler_open, last_digit_deg) << at.crank;
    EXPECT_NEAR(wrapped_deg(angle_deg(as_open, "rocker")), at.rocker_open, last_digit_deg) << at.crank;
    EXPECT_NEAR(wrapped_deg(angle_deg(as_crossed, "coupler")), at.coupler_crossed, last_digit_deg) << at.crank;
    EXPECT_NEAR(wrapped_deg(angle_deg(as_crossed, "rocker")), at.rocker_crossed, last_digit_deg) << at.crank;
    EXPECT_NEAR(transmission_deg(as_open), at.transmission, last_digit_deg) << at.crank;
  }
}

// Cosine rule, any kinematics text: cos(mu) = (b^2 + c^2 - f^2) / 2bc with f = d - a and d + a.
TEST(FourBar, HasItsTransmissionAnglesBetweenThoseOfTheCrankInLineWithTheGround) {
  const Linkage linkage = textbook_four_bar();
  Cranked cranked = take_crank(linkage, "crank");
  ASSERT_TRUE(turn_to(cranked, 0));
  EXPECT_NEAR(transmission_deg(cranked), 26.38432975, last_digit_deg);
  for (int angle = 1; angle < 360; ++angle) {
    ASSERT_TRUE(turn_to(cranked, angle));
    EXPECT_GT(transmission_deg(cranked), 26.38432975) << angle;
    EXPECT_LT(transmission_deg(cranked), 86.41667830 + last_digit_deg) << angle;
  }
}

// Net turns of crank, coupler and rocker in one round of the linkage, either way.
std::array<int, 3> turns_in_a_round(const FourBar& bar, const Vec2& near_A, const Vec2& near_B) {
  const Linkage linkage = four_bar(bar, near_A, near_B);
  const Assembly assembly = assembled(linkage);
  Eigen::VectorXd last = assembly.q;
  EXPECT_TRUE(walk_round(assembly.mechanism, assembly.q, true, [&](const Eigen::VectorXd& q) {
    last = q;
    return true;
  }));
  std::array<int, 3> turns{};
  for (std::size_t b = 0; b < 3; ++b) {
    const auto i = 3 * static_cast<Eigen::Index>(b) + 2;
    turns[b] = static_cast<int>(std::lround(std::abs(last[i] - assembly.q[i]) / (360 * rad_per_deg)));
  }
  return turns;
}

// Grashof's condition, any kinematics text: if shortest + longest < the other two, the shortest link turns round.
TEST(FourBar, TurnsRoundAsItsGrashofClassSays) {
  const auto from_crank = [](const FourBar& bar, double crank_deg) {
    const Vec2 A = polar(bar.crank_mm, crank_deg);
    return std::pair{A, meet(A, bar.coupler_mm, Vec2(bar.ground_mm, 0), bar.rocker_mm, +1)};
  };
  const auto check = [&](const FourBar& bar, const std::pair<Vec2, Vec2>& AB, const std::array<int, 3>& expected,
                         const char* name) { EXPECT_EQ(turns_in_a_round(bar, AB.first, AB.second), expected) << name; };
  const FourBar crank_rocker{40, 120, 80, 100}, rocker_crank{80, 120, 40, 100}, double_crank{100, 80, 120, 40},
      double_rocker{80, 40, 120, 100}, triple_rocker{50, 60, 70, 100}, small{20, 70, 90, 60};
  check(crank_rocker, from_crank(crank_rocker, 90), {1, 0, 0}, "crank-rocker");
  check(rocker_crank, {meet(Vec2(0, 0), 80, Vec2(100, 40), 120, +1), Vec2(100, 40)}, {0, 0, 1}, "rocker-crank");
  check(double_crank, from_crank(double_crank, 90), {1, 1, 1}, "double crank");
  check(double_rocker, from_crank(double_rocker, 60), {0, 1, 0}, "double rocker");
  check(triple_rocker, from_crank(triple_rocker, 90), {0, 0, 0}, "triple rocker");
  check(small, from_crank(small, 90), {1, 0, 0}, "crank-rocker 2, 7, 9, 6");
}

// Cosine rule in the triangle O2, B, O4 with O2B = b + a (crank and coupler in line) and b - a (folded).
// Turned by 90 degrees clockwise the pin B rises all the way between the two, so that raising it ends there.
TEST(FourBar, EndsItsRockersSwingAtNamedDeadPoints) {
  const Vec2 A = polar(40, 120);
  Linkage linkage = four_bar({}, A, meet(A, 120, Vec2(100, 0), 80, +1), -90);
  add_wheel(linkage, "rocker.B");
  const Assembly assembly = assembled(linkage);
  const HeldMechanism held = hold_wheels(assembly.mechanism, assembly.q);
  const SweepEnd low = sweep_to_end(held, 0, assembly.q, -1), high = sweep_to_end(held, 0, assembly.q, +1);
  const auto angle = [&](const SweepEnd& end, const char* body) {
    return wrapped_deg(end.q[3 * moving_body(linkage, body) + 2] / rad_per_deg + 90);
  };
  EXPECT_EQ(low.name, "dead point");
  EXPECT_EQ(high.name, "dead point");
  EXPECT_NEAR(angle(low, "rocker"), 54.90036780, 2 * last_digit_deg);
  EXPECT_NEAR(angle(high, "rocker"), 128.68218745, 2 * last_digit_deg);
  EXPECT_NEAR(angle(high, "rocker") - angle(low, "rocker"), 73.78181965, 2 * last_digit_deg);
  // The crank's angle goes with the square root of what is left of the travel: 1e-11 mm leave it about 1e-4 degrees.
  EXPECT_NEAR(angle(low, "crank"), 24.14684800, 1e-3);
  EXPECT_NEAR(wrapped_deg(angle(high, "crank") - 231.31781255), 0, 1e-3);
  for (const SweepEnd& end : {low, high}) {
    EXPECT_TRUE(std::find(end.links.begin(), end.links.end(), "crank") != end.links.end());
    EXPECT_TRUE(std::find(end.links.begin(), end.links.end(), "coupler") != end.links.end());
  }
}

// Norton, ch. 6 (formulas): omega4/omega2 = a sin(theta2 - theta3) / (c sin(theta4 - theta3)); torques the other way
// round; mechanical advantage with the input force at 60 mm and the output force at 80 mm.
TEST(FourBar, BalancesTorquesInTheRatioOfItsSpeeds) {
  const Linkage linkage = textbook_four_bar();
  Cranked cranked = take_crank(linkage, "crank");
  const auto torque_ratio = [&](double crank_deg) {  // T4 / T2, from the balance of forces
    EXPECT_TRUE(turn_to(cranked, crank_deg));
    linearise(cranked.mechanism, cranked.q, cranked.workspace);
    Eigen::VectorXd g = Eigen::VectorXd::Zero(cranked.q.size());
    Eigen::VectorXd lambda = Eigen::VectorXd::Zero(static_cast<Eigen::Index>(cranked.mechanism.ties.size()));
    g[3 * moving_body(linkage, "rocker") + 2] = 1;
    multipliers(cranked.workspace.part, g, lambda);
    return 1 / lambda[lambda.size() - 1];
  };
  EXPECT_NEAR(torque_ratio(40), 3.57245681, 1e-8);
  EXPECT_NEAR(torque_ratio(40) * 60 / 80, 2.67934260, 1e-8);
  EXPECT_NEAR(torque_ratio(100) * 60 / 80, 1.38998726, 1e-8);
  EXPECT_NEAR(1 / torque_ratio(100), 0.53957329, 1e-8);
  ASSERT_TRUE(turn_to(cranked, 40));
  EXPECT_NEAR(motion_of(cranked)[3 * moving_body(linkage, "rocker") + 2], 0.27991941, 1e-8);
}

// Instant centres: of coupler and ground where O2A meets O4B, of crank and rocker where AB meets O2O4 (Kennedy).
TEST(FourBar, TurnsAboutItsInstantCentres) {
  const Linkage linkage = textbook_four_bar();
  Cranked cranked = take_crank(linkage, "crank");
  ASSERT_TRUE(turn_to(cranked, 40));
  const Eigen::VectorXd dq = motion_of(cranked);
  const Vec2 A = place(cranked, "crank.A"), v_A = velocity(cranked, "crank.A", dq);
  const double omega3 = dq[3 * moving_body(linkage, "coupler") + 2],
               omega4 = dq[3 * moving_body(linkage, "rocker") + 2];
  const Vec2 I13 = A + Vec2(-v_A.y(), v_A.x()) / omega3;
  EXPECT_NEAR(I13.x(), 216.533637, 1e-6);
  EXPECT_NEAR(I13.y(), 181.693295, 1e-6);
  EXPECT_NEAR(-omega4 * 100 / (1 - omega4), -38.87334466, 1e-8);  // x omega2 = (x - d) omega4
}

TEST(FourBar, CarriesItsCouplerPointAlongThePublishedPath) {  // AP = 60 mm at 30 degrees from AB; loop closure
  const Linkage linkage = textbook_four_bar();
  Cranked cranked = take_crank(linkage, "crank");
  constexpr std::array<std::array<double, 3>, 9> path{{{0, 64.08228701, 54.95492200},
                                                       {40, 68.96955262, 71.87406142},
                                                       {45, 67.19319171, 73.95807017},
                                                       {90, 39.45206023, 85.20547470},
                                                       {135, 6.70189351, 77.02817626},
                                                       {180, -14.42666162, 54.27710718},
                                                       {225, -17.03970342, 30.65264159},
                                                       {270, -2.60745618, 19.94331633},
                                                       {315, 25.54080283, 31.65297411}}};
  for (const auto& [crank, x, y] : path) {
    ASSERT_TRUE(turn_to(cranked, crank));
    EXPECT_NEAR(place(cranked, "coupler.P").x(), x, 1e-8) << crank;
    EXPECT_NEAR(place(cranked, "coupler.P").y(), y, 1e-8) << crank;
  }
}

constexpr FourBar parallelogram{.crank_mm = 40, .coupler_mm = 100, .rocker_mm = 40, .ground_mm = 100};

TEST(Parallelogram, StaysParallelPastItsChangePoint) {
  const Vec2 A = polar(40, 75);
  const Linkage linkage = four_bar(parallelogram, A, A + Vec2(100, 0));
  Cranked cranked = take_crank(linkage, "crank");
  ASSERT_TRUE(turn_to(cranked, 75.13));  // so that no step of half a degree falls on 180 itself
  linearise(cranked.mechanism, cranked.q, cranked.workspace);
  const double side = cranked.workspace.part.det_sign;
  ASSERT_TRUE(turn_to(cranked, 284.63));
  EXPECT_NEAR(wrapped_deg(angle_deg(cranked, "rocker") - 284.63), 0, last_digit_deg);
  EXPECT_NEAR(wrapped_deg(angle_deg(cranked, "coupler")), 0, last_digit_deg);
  // sin(theta4 - theta3) changes sign at the change point, and the determinant of the ties with it.
  linearise(cranked.mechanism, cranked.q, cranked.workspace);
  EXPECT_EQ(cranked.workspace.part.det_sign, -side);
}

TEST(Parallelogram, CrossesOverAsItsTanHalfFormulaSays) {  // tan(theta4/2) = -(7/3) tan(theta2/2)
  constexpr std::array<std::array<double, 3>, 3> crossed{
      {{30, -34.02846340, -64.02846340}, {75, -46.63108552, -121.63108552}, {120, -32.20422750, -152.20422750}}};
  const Linkage linkage = four_bar(parallelogram, polar(40, 30), Vec2(100, 0) + polar(40, -64));
  Cranked cranked = take_crank(linkage, "crank");
  for (const auto& [crank, coupler, rocker] : crossed) {
    ASSERT_TRUE(turn_to(cranked, crank));
    EXPECT_NEAR(wrapped_deg(angle_deg(cranked, "coupler")), coupler, last_digit_deg) << crank;
    EXPECT_NEAR(wrapped_deg(angle_deg(cranked, "rocker")), rocker, last_digit_deg) << crank;
  }
  // The crossed closure goes on past the change point, where the two roots of the quadratic swap their meaning.
  ASSERT_TRUE(turn_to(cranked, 179.93));
  ASSERT_TRUE(turn_to(cranked, 210));
  EXPECT_NEAR(wrapped_deg(angle_deg(cranked, "rocker")), 166.89822672, last_digit_deg);
}

// Triangle inequality: four bars close if the longest is at most as long as the other three together.
TEST(FourBar, IsRefusedWhereItsBarsCannotMeet) {
  for (const FourBar& bar : {FourBar{10, 120, 80, 300}, FourBar{50, 50, 50, 151}}) {
    const Linkage linkage = four_bar(bar, Vec2(bar.crank_mm, 0), Vec2(bar.ground_mm - bar.rocker_mm, 0));
    const AssembleResult result = assemble(linkage, 8.0);
    EXPECT_FALSE(result.assembly);
    ASSERT_EQ(result.problems.size(), 1u);
    EXPECT_EQ(result.problems[0].code, "does-not-go-together");
    EXPECT_EQ(result.problems[0].fault, Fault::no_solution);
  }
  // Just closed, and closed only when stretched straight.
  for (const double ground_mm : {149.9, 150.0})
    EXPECT_TRUE(assemble(four_bar({50, 50, 50, ground_mm}, Vec2(50, 1), Vec2(100, 1)), 8.0).assembly) << ground_mm;
}

}  // namespace
}  // namespace ridepitch
