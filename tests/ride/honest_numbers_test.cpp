// What can't be told is not told: rest and rates at a dead point, modes without inertia, loads of which many balance, wheels
// that touch nothing, tyres pressed flat.

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "rigs/files.hpp"
#include "rigs/models.hpp"
#include "rigs/rest.hpp"
#include "rigs/texts.hpp"

namespace ridepitch {
namespace {

const CornerResult& named_corner(const Solution& solution, const std::string& name) {
  const auto found = std::find_if(solution.corners.begin(), solution.corners.end(),
                                  [&](const CornerResult& corner) { return corner.name == name; });
  EXPECT_TRUE(found != solution.corners.end()) << name;
  return found != solution.corners.end() ? *found : solution.corners.at(0);
}

bool has_finding(const Solution& solution, const std::string& code, const std::string& where) {
  return std::any_of(solution.findings.begin(), solution.findings.end(),
                     [&](const Finding& found) { return found.code == code && found.where == where; });
}

// --------------------------------------------------------------------------------------------- dead points

// An arm under its coil's seat hangs straight down: there the coil is longest, and the wheel can't rise.
std::string hanging_arm(double rate_n_per_mm) {
  return arm({.seat = "[0, 7]",
              .holes = "coil = [2, 0], axle = [4, 0]",
              .more = coil("main", "arm.coil", "chassis.seat", 76, 48, rate_n_per_mm),
              .near_axle = "[4, 0]"});
}

// The least load that swings it up, by E'' = 0 over its angle: F 16 56 / 72 = P 32, F = rate (76 - 72).
double swinging_load_n(double rate_n_per_mm) { return rate_n_per_mm * 4 * 16 * 56 / 72.0 / 32; }

TEST(DeadPoint, UnderLoadIsNoRestForNoSpringBalancesTheLoad) {
  for (const double rate : {0.5, 1.0, 3.0})
    for (const double share : {0.2, 0.5, 0.9}) {
      const Problem problem = no_rest(on_bench(hanging_arm(rate), share * swinging_load_n(rate)));
      EXPECT_EQ(problem.code, "no-rest");
      EXPECT_EQ(problem.fault, Fault::no_solution);
      EXPECT_THAT(problem.text, testing::HasSubstr("dead point"));
      EXPECT_FALSE(problem.hint.empty());
    }
}

TEST(DeadPoint, OfAWheelInTheAirLeavesOutEveryRateAndSaysSo) {
  const std::string hanging = hanging_arm(1);
  const Solution solution =
      rested(body(1000, 0, 0, 5) + fixed_wheel() + hanging + four_corners("f", 10, 8) + corner("spare", "l", 0, 8, 14));
  const CornerResult& spare = named_corner(solution, "spare");
  const WheelResult& wheel = spare.wheels.at(0);
  EXPECT_EQ(wheel.state, WheelState::lifted);
  for (const auto& number : {wheel.wheel_rate_n_per_mm, wheel.frequency_hz, wheel.motion_ratio, wheel.reserve})
    EXPECT_FALSE(number.has_value());
  EXPECT_FALSE(wheel.motion.has_value());
  ASSERT_TRUE(wheel.path.has_value());
  EXPECT_FALSE(wheel.path->wheelbase_change_mm_per_mm.has_value());
  EXPECT_TRUE(has_finding(solution, "at-dead-point", "spare/hub"));
}

TEST(DeadPoint, AtTheEndOfTheTravelLeavesNoNumberThatADoubleCanNotTell) {
  // The arm swings up to straight up, its coil never solid: there a mm of rise takes any turn.
  const Solution solution =
      solved(read_rig(on_bench(arm({.seat = "[2, 12]",
                                    .holes = "coil = [4, 0], axle = [8, 0]",
                                    .more = coil("main", "arm.coil", "chassis.seat", 100, 40, 0.5)}),
                               0.5)));
  ASSERT_EQ(solution.curves.size(), 1u);
  ASSERT_EQ(solution.corners[0].wheels[0].bump_end, "dead point");
  const double most = 1e5;  // by far more than a coil of 0.5 N/mm does a thousandth of a radian from it
  for (const CurvePoint& point : solution.curves[0].points) {
    EXPECT_FALSE(std::abs(point.load_n) > most);
    EXPECT_FALSE(std::abs(point.wheel_rate_n_per_mm) > most);
    EXPECT_FALSE(std::abs(point.motion_ratio.value_or(0)) > most);
  }
  EXPECT_TRUE(std::isnan(solution.curves[0].points.back().wheel_rate_n_per_mm));
}

TEST(Droop, OfAnArmThatNothingHoldsIsRefusedWhereSomethingElseMeetsAStop) {
  std::string text = text_of(source_path("tests/models/quarry-hauler.toml"));
  const auto rod = text.find("[linkage.rocker-arm.rod.pushrod]");
  const auto any = rod == text.npos ? text.find(".rod.pushrod]") : rod;
  ASSERT_NE(any, text.npos);
  const auto begin = text.rfind('[', any), end = text.find("\n[", any);
  text.erase(begin, end + 1 - begin);
  const SolveResult result = solve(read_rig(text, source_path("tests/models/quarry-hauler.toml")));
  ASSERT_FALSE(result.problems.empty());
  EXPECT_EQ(result.problems[0].code, "held-by-nothing");
}

// ------------------------------------------------------------------------------------- inertia, loads, states

TEST(Modes, AreNoneOfMassesInOnePointWhereverItLies) {
  for (const double x : {0.0, 1.81, -0.7, 1.0 / 3})
    for (const double z : {5.72, 4.1, 7.0})
      for (const int parts : {1, 3}) {
        Model model = on_tyres(read_rig(body(800, x, 0.17, z) + upright({}) + four_corners("l", 10, 8)));
        ASSERT_EQ(model.masses.size(), 1u);
        model.masses[0].size_mm.reset();
        for (int i = 1; i < parts; ++i) model.masses.push_back(model.masses[0]);
        for (Mass& mass : model.masses) mass.kg = 0.8 / parts;
        const Solution solution = solved(model);
        EXPECT_TRUE(solution.vehicle->modes.empty()) << x << " " << z << " " << parts;
      }
}

TEST(WheelState, OfAFixedWheelInTheAirIsLiftedAndIsToldAsSuch) {
  const Solution solution = rested(body(1000, 0, 0, 5) + fixed_wheel() + four_corners("f", 10, 8) +
                                   corner("high left", "f", 0, 8, 5) + corner("high right", "f", 0, -8, 5));
  for (const char* name : {"high left", "high right"}) {
    EXPECT_EQ(named_corner(solution, name).wheels.at(0).state, WheelState::lifted);
    EXPECT_TRUE(has_finding(solution, "lifted", std::string(name) + "/hub"));
  }
  EXPECT_EQ(named_corner(solution, "front left").wheels.at(0).state, WheelState::fixed);
}

TEST(IndeterminateLoads, OfDroopStopsAreToldWhereOneOfThemCarriesNothing) {
  // Four arms of 64 mm on their droop stops, 150 g between them, and a bar that takes F from the preload of one and gives it
  // to the other. Diagonal wheels carry alike, by moments; how the two diagonals share is open as long as no stop pulls.
  Model model = on_tyres(read_rig(
      body(150, 0, 0, 5) +
      arm({.seat = "[4, 6]",
           .holes = "foot = [4, 0], axle = [8, 0]",
           .more = "[linkage.l.spring.main]\nkind = \"coil\"\nfree_mm = 49.1\nsolid_mm = 33.4\nrate_n_per_mm = "
                   "1.299\npreload_n = 2.6\nfrom = \"arm.foot\"\nto = \"chassis.seat\"\n",
           .near_axle = "[8, -1]"}) +
      corner("front left", "l", 6, 9) + corner("front right", "l", 6, -9) + corner("rear left", "l", -6, 9) +
      "flip = true\n" + corner("rear right", "l", -6, -9) + "flip = true\n" +
      "[[bar]]\nname = \"b\"\nends = [\"front left/arm\", \"front right/arm\"]\nrate_n_mm_per_deg = 28\nfree_deg = "
      "-2.4\n"));
  const Solution solution = solved(model);
  EXPECT_TRUE(solution.vehicle->indeterminate);
  double sum_n = 0;
  for (const CornerResult& one : solution.corners) {
    EXPECT_EQ(one.wheels[0].state, WheelState::topped) << one.name;
    sum_n += *one.wheels[0].ground_load_n;
  }
  EXPECT_NEAR(sum_n, 0.150 * 9.80665, 1e-9);
  EXPECT_NEAR(*named_corner(solution, "front left").wheels[0].ground_load_n,
              *named_corner(solution, "rear right").wheels[0].ground_load_n, 1e-9);
}

TEST(Tyre, WhoseCentreWouldBeUnderTheGroundIsAProblem) {  // 1 kg on four tyres of 60 mm: 2.45 N gives 49 or 24.5 mm
  const auto crushed = [](double rate_n_per_mm) {
    const Tyre tyre{.diameter_mm = 60, .width_mm = 20, .mass_g = 0, .rate_n_per_mm = rate_n_per_mm};
    const Solution solution =
        solved(on_tyres(read_rig(body(1000, 0, 0, 5) + upright({}) + four_corners("l", 10, 8)), tyre));
    return std::count_if(solution.findings.begin(), solution.findings.end(), [](const Finding& found) {
      return found.code == "tyre-crushed" && found.level == Level::problem;
    });
  };
  EXPECT_EQ(crushed(0.05), 4);
  EXPECT_EQ(crushed(0.1), 0);
}

}  // namespace
}  // namespace ridepitch
