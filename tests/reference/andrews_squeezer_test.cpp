// Andrews' squeezing mechanism: seven bodies in three loops.
//
// Constants, and the angles of the start to thirty digits: Test Set for IVP Solvers (F. Mazzia, C. Magherini,
// F. Iavernaro, Univ. of Bari, report 43/2006, release 2.3), problem "Andrews' squeezing mechanism"; also E. Hairer and
// G. Wanner, Solving Ordinary Differential Equations II, VII.7. Places, and the other positions of the crank: from the
// same constraints, by Newton to 1e-17 m. What concerns motion in time is left out: nothing here has a clock.

#include <gtest/gtest.h>

#include <array>
#include <cmath>

#include "reference/linkages.hpp"

namespace ridepitch {
namespace {

constexpr double start_beta = -0.0617138900142764496358948458001;

struct Angles {
  double beta, theta, gamma, phi, delta, omega, epsilon;
};

Angles angles_of(const Cranked& cranked) {
  const auto angle = [&](const char* body) { return angle_deg(cranked, body) * rad_per_deg; };
  const auto wrapped = [](double a) { return std::remainder(a, 360 * rad_per_deg); };
  return {angle("crank"),          wrapped(angle("link") - angle("crank")),
          wrapped(angle("plate")), wrapped(angle("EG") - angle("GA")),
          wrapped(angle("GA")),    wrapped(angle("EH") - angle("HA")),
          wrapped(angle("HA"))};
}

TEST(AndrewsSqueezer, GoesTogetherFromRoughGuessesAtThePublishedAngles) {
  const Linkage linkage = andrews_squeezer();
  Cranked cranked = take_crank(linkage, "crank");
  ASSERT_TRUE(turn_to(cranked, start_beta / rad_per_deg));
  const Angles at = angles_of(cranked);
  EXPECT_NEAR(at.beta, start_beta, 1e-12);
  EXPECT_NEAR(at.theta, 0, 1e-12);
  EXPECT_NEAR(at.gamma, 0.455279819163070380255912382449, 1e-12);
  EXPECT_NEAR(at.phi, 0.222668390165885884674473185609, 1e-12);
  EXPECT_NEAR(at.delta, 0.487364979543842550225598953530, 1e-12);
  EXPECT_NEAR(at.omega, -0.222668390165885884674473185609, 1e-12);
  EXPECT_NEAR(at.epsilon, 1.23054744454982119249735015568, 1e-12);
}

TEST(AndrewsSqueezer, HasItsPointsAndItsSpringWhereTheyArePublished) {
  const Linkage linkage = andrews_squeezer();
  Cranked cranked = take_crank(linkage, "crank");
  ASSERT_TRUE(turn_to(cranked, start_beta / rad_per_deg));
  const auto expect_at = [&](const char* hole_name, double x_m, double y_m) {
    EXPECT_NEAR(place(cranked, hole_name).x(), 1000 * x_m, 1e-9) << hole_name;
    EXPECT_NEAR(place(cranked, hole_name).y(), 1000 * y_m, 1e-9) << hole_name;
  };
  expect_at("crank.F", 0.006986674115, -0.000431723065);
  expect_at("plate.E", -0.020960022346, 0.001295169194);
  expect_at("plate.D", -0.010472393889, 0.025357788530);
  expect_at("GA.G", -0.033997203886, 0.016461971675);
  expect_at("HA.H", -0.031633134507, -0.015618868668);
  const SpringElement& spring = cranked.mechanism.springs[0];
  const double length = read(spring.gauge, cranked.q, cranked.workspace.turns).value;
  EXPECT_NEAR(length, 52.672516111, 1e-9);
  EXPECT_NEAR(element_force(spring, length).push_n, 114.054002018, 1e-8);
}

struct PublishedPosition {
  double turned_deg;
  Angles at;
  double E_x_m, E_y_m, length_m, pull_n;
};
constexpr std::array<PublishedPosition, 3> positions{{
    {90,
     {1.509082436781, -1.225739216407, 0.286717705960, -0.099263953702, 0.515554622309, 0.099263953702, 1.121845892975},
     -0.026451809,
     -0.000841205,
     0.057171990,
     -93.671383},
    {180,
     {3.079878763576, -2.984378162651, 0.042610435278, -0.531603238361, 0.524501545582, 0.531603238361, 1.048137484380},
     -0.034859086,
     -0.002238231,
     0.063697690,
     -64.109963},
    {270,
     {4.650675090370, -4.858207590949, 0.245872456187, -0.173295625884, 0.519695515485, 0.173295625884, 1.101807181389},
     -0.027830908,
     -0.001217387,
     0.058270920,
     -88.693231},
}};

TEST(AndrewsSqueezer, FollowsItsCrankThroughATurn) {
  const Linkage linkage = andrews_squeezer();
  Cranked cranked = take_crank(linkage, "crank");
  const double start_deg = start_beta / rad_per_deg;
  ASSERT_TRUE(turn_to(cranked, start_deg));
  const Eigen::VectorXd start = cranked.q;
  constexpr double last_digit_rad = 2e-12;
  for (const PublishedPosition& expected : positions) {
    ASSERT_TRUE(turn_to(cranked, start_deg + expected.turned_deg));
    const Angles at = angles_of(cranked);
    EXPECT_NEAR(at.beta, expected.at.beta, last_digit_rad);
    EXPECT_NEAR(std::remainder(at.theta - expected.at.theta, 360 * rad_per_deg), 0, last_digit_rad);
    EXPECT_NEAR(at.gamma, expected.at.gamma, last_digit_rad);
    EXPECT_NEAR(at.phi, expected.at.phi, last_digit_rad);
    EXPECT_NEAR(at.delta, expected.at.delta, last_digit_rad);
    EXPECT_NEAR(at.omega, expected.at.omega, last_digit_rad);
    EXPECT_NEAR(at.epsilon, expected.at.epsilon, last_digit_rad);
    EXPECT_NEAR(place(cranked, "plate.E").x(), 1000 * expected.E_x_m, 1e-6);
    EXPECT_NEAR(place(cranked, "plate.E").y(), 1000 * expected.E_y_m, 1e-6);
    const SpringElement& spring = cranked.mechanism.springs[0];
    std::vector<Turn> turns(static_cast<std::size_t>(cranked.mechanism.bodies));
    set_turns(cranked.q, turns);
    const double length = read(spring.gauge, cranked.q, turns).value;
    EXPECT_NEAR(length, 1000 * expected.length_m, 1e-6);
    EXPECT_NEAR(element_force(spring, length).push_n, -expected.pull_n, 1e-6);
  }
  // After a whole turn everything is back; theta, the link's angle to the crank, has gone down by a turn.
  ASSERT_TRUE(turn_to(cranked, start_deg + 360));
  for (const char* body : {"link", "plate", "EG", "GA", "EH", "HA"}) {
    const int i = 3 * moving_body(linkage, body) + 2;
    EXPECT_NEAR(cranked.q[i], start[i], last_digit_rad) << body;
  }
}

}  // namespace
}  // namespace ridepitch
