#include "swap/compare.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>

#include "model/change.hpp"
#include "rigs/models.hpp"
#include "rigs/rest.hpp"
#include "rigs/texts.hpp"
#include "steer/steering.hpp"

namespace ridepitch {
namespace {

using testing::Contains;
using testing::Field;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::Not;

constexpr double exact = 1e-9;  // of numbers near 1: what Newton's method leaves

Comparison compared(const Model& before, const Model& after, const Keep& keep = {}) {
  const Solution was = solved(before), is = solved(after);
  const SteerResult first = steer(before, was, {.points = 2}), second = steer(after, is, {.points = 2});
  const auto worked_out = [](const SteerResult& result) { return result.steered ? &*result.steered : nullptr; };
  return compare({before, was, worked_out(first)}, {after, is, worked_out(second)}, keep);
}
Comparison compared(const LevelArm& before, const LevelArm& after) {
  return compared(read_rig(level_arm(before)), read_rig(level_arm(after)));
}

const Difference& difference(const Comparison& comparison, const std::string& where, const std::string& quantity) {
  for (const Difference& each : comparison.differences) {
    if (each.where == where && each.quantity == quantity) return each;
  }
  ADD_FAILURE() << "no " << quantity << " of " << where;
  static const Difference none;
  return none;
}

double ratio_of(const Comparison& comparison, const std::string& quantity) {
  const Difference& found = difference(comparison, "rear left/hub", quantity);
  return *found.after / *found.before;
}

// ------------------------------------------------------------------------------- nothing changed

TEST(Compare, AModelStandsAsItselfDoes) {
  for (const char* name :
       {"quarry-hauler", "timber-forwarder", "log-skidder-banded", "scout-car", "sand-loader", "trial-arm"}) {
    const Model model = demo(name);
    const Comparison same = compared(model, model);
    EXPECT_TRUE(same.holds) << name;
    EXPECT_EQ(same.worst, 0) << name;
    EXPECT_EQ(same.verdict, "stands the same: no number differs") << name;
    EXPECT_THAT(same.needs, IsEmpty()) << name;
  }
}

TEST(Compare, ARulersReadingGoesAlongWithTheComputedHeight) {
  // 2000 g on four coils of 0.5 N/mm under 4.903 N each, which lower it by 9.807 mm; with 0.4 N/mm by 12.258 mm.
  const auto posts = [](double rate) {
    return body(2000, 0, 0, 5) + "[[measured]]\nof = \"rear left\"\nride_height_mm = 27.5\n" +
           upright({.top = 7, .rate_n_per_mm = rate}) + four_corners("l", 10, 8);
  };
  const Comparison result = compared(on_tyres(read_rig(posts(0.5))), on_tyres(read_rig(posts(0.4))));
  const double load_n = 500 * 9.80665e-3;  // standard gravity
  ASSERT_TRUE(difference(result, "rear left", "ride_height_mm").expected_on_ruler_mm);
  EXPECT_NEAR(*difference(result, "rear left", "ride_height_mm").expected_on_ruler_mm,
              27.5 - (load_n / 0.4 - load_n / 0.5), 1e-6);
  EXPECT_FALSE(difference(result, "rear right", "ride_height_mm").expected_on_ruler_mm) << "no ruler was there";
}

TEST(Compare, AnEqualSpringOfAnotherNameChangesNothing) {
  Model before = demo("quarry-hauler");
  before.catalogue["coil-copy"] = before.catalogue.at(before.linkages[0].springs[0].part);
  const Comparison same = compared(before, changed(before, {SetSpring{0, 0, "coil-copy", 2}}));
  EXPECT_EQ(same.worst, 0);
  EXPECT_THAT(same.needs, IsEmpty());
  EXPECT_EQ(difference(same, "rear left/main", "spring").after_words, "2 coil-copy");
}

TEST(Compare, ThereAndBackIsTheIdentity) {
  const Model before = demo("quarry-hauler");
  const Linkage& arm = before.linkages[0];
  const Hole& seat = arm.bodies[chassis].holes[2];
  const Model there =
      changed(before, {SetSpring{0, 0, "coil-65-soft", 3}, MoveHole{0, chassis, 2, seat.p_B + Vec2(8, 0)}});
  const Model back = changed(there, {SetSpring{0, 0, arm.springs[0].part, 2}, MoveHole{0, chassis, 2, seat.p_B}});
  EXPECT_FALSE(compared(before, there).holds);
  EXPECT_EQ(compared(before, back).worst, 0);
}

// ------------------------------------------------------------------------------- closed forms

// The same coil at 1/sqrt 2 of the lever: k m^2 is halved.
TEST(Compare, ACoilAtOneByRootTwoOfTheMotionRatioHalvesTheWheelRate) {
  const Comparison half = compared(LevelArm{.at = 5}, LevelArm{.at = 5 / std::sqrt(2.0)});
  EXPECT_NEAR(ratio_of(half, "motion_ratio"), 1 / std::sqrt(2.0), exact);
  EXPECT_NEAR(ratio_of(half, "wheel_rate_n_per_mm"), 0.5, exact);
  EXPECT_NEAR(ratio_of(half, "frequency_hz"), 1 / std::sqrt(2.0), exact);
  EXPECT_THAT(half.verdict, testing::StartsWith("rides 50 % softer"));  // it stands as high: its preload sees to that
  EXPECT_FALSE(half.holds);
}

// Springs side by side: rates add (Hooke).
TEST(Compare, TwoCoilsSideBySideAreOneOfTwiceTheRate) {
  const Comparison same = compared(LevelArm{.rate_n_per_mm = 0.4, .count = 2}, LevelArm{.rate_n_per_mm = 0.8});
  EXPECT_TRUE(same.holds);
  EXPECT_LT(same.worst, exact);
}

/// Rate of a coil of round wire [N/mm]: k = G d^4 / (8 D^3 n), all in mm, G in MPa. Any handbook of machine elements;
/// DIN EN 13906-1 (from memory). d = 0.7, D = 7, n = 8, G = 79300 gives 0.867344.
double coil_rate(double wire_mm, double mean_diameter_mm, double coils) {
  return 79300 * std::pow(wire_mm, 4) / (8 * std::pow(mean_diameter_mm, 3) * coils);
}

TEST(Compare, CoilsRewoundToTheSameRateStandTheSame) {
  const double rate = coil_rate(0.7, 7, 8);
  ASSERT_NEAR(rate, 0.867344, 1e-6);
  const LevelArm before{.load_n = 9, .rate_n_per_mm = rate};
  // Half as many coils are twice as stiff, and so is wire thicker by the fourth root of 2; a coil wider by the cube
  // root of 2 is half as stiff.
  EXPECT_LT(compared(before, LevelArm{.load_n = 9, .rate_n_per_mm = coil_rate(0.7, 7, 16), .count = 2}).worst, 1e-8);
  EXPECT_LT(compared(before, LevelArm{.load_n = 9, .rate_n_per_mm = coil_rate(0.7, 7 * std::cbrt(2.0), 4)}).worst,
            1e-8);
  const Comparison thick = compared(
      before, LevelArm{.load_n = 9, .rate_n_per_mm = coil_rate(0.7 * std::pow(2, 0.25), 7, 8), .squeeze_mm = 5});
  EXPECT_NEAR(ratio_of(thick, "wheel_rate_n_per_mm"), 2, exact);
}

/// A wheel on an upright slide under a coil, or under two in series with a plate that floats between them.
std::string sprung(const std::string& springs, const std::string& plate) {
  return on_bench(carrier({.chassis_holes = ", middle = [0, 8], top = [0, 15]",
                           .bodies = plate,
                           .more = springs,
                           .tyre = "part = \"tyre-69\""}),
                  6, "rear left");
}

// Springs in series: 1/k = 1/k1 + 1/k2 (Hooke); 2 and 3 N/mm make 1.2.
TEST(Compare, TwoCoilsInSeriesAreOneOfTheirCommonRate) {
  const std::string plate =
      "plate = { holes = { eye = [0, 0] }, near = { eye = [0, 8] } }\n"
      "[linkage.l.slide.plate]\nhole = \"plate.eye\"\nthrough = \"chassis.middle\"\nalong = [0, 1]\n";
  const std::string two =
      "[linkage.l.spring.main]\nkind = \"coil\"\nfree_mm = 60\nsolid_mm = 40\nrate_n_per_mm = 2\nfrom = "
      "\"carrier.eye\"\nto = \"plate.eye\"\n"
      "[linkage.l.spring.upper]\nkind = \"coil\"\nfree_mm = 50\nsolid_mm = 35\nrate_n_per_mm = 3\nfrom = "
      "\"plate.eye\"\nto = \"chassis.top\"\n";
  const std::string one =
      "[linkage.l.spring.main]\nkind = \"coil\"\nfree_mm = 110\nsolid_mm = 75\nrate_n_per_mm = 1.2\nfrom = "
      "\"carrier.eye\"\nto = \"chassis.top\"\n";
  const Comparison series = compared(read_rig(sprung(two, plate)), read_rig(sprung(one, "")));
  EXPECT_NEAR(ratio_of(series, "wheel_rate_n_per_mm"), 1, exact);
  const Difference& ride = difference(series, "rear left", "ride_height_mm");
  EXPECT_NEAR(*ride.after, *ride.before, exact);
  EXPECT_EQ(difference(series, "rear left/upper", "spring").after_words, "none");
}

// ------------------------------------------------------------------------------- what a spring needs

// The lever that is asked for is built, and the wheel then has the same rate under the same load.
void expect_need_to_be_right(const LevelArm& before, LevelArm wrong) {
  wrong.at = before.at;
  const Model model = read_rig(level_arm(before));
  const Comparison first = compared(model, read_rig(level_arm(wrong)));
  ASSERT_EQ(first.needs.size(), 1u);
  const SpringNeed& need = first.needs[0];
  ASSERT_TRUE(need.length_mm);
  LevelArm right = wrong;
  right.at = before.at * need.motion_ratio_needed / need.motion_ratio_before;
  const double free_mm = wrong.length_mm + wrong.squeeze_mm,
               preload_n = wrong.load_n * 8 / wrong.at / wrong.count - wrong.rate_n_per_mm * wrong.squeeze_mm;
  right.length_mm = *need.length_mm;
  right.squeeze_mm = free_mm - right.length_mm;
  if (wrong.law.empty()) {  // it is the very same coil
    ASSERT_NEAR(right.load_n * 8 / right.at / right.count - right.rate_n_per_mm * right.squeeze_mm, preload_n, 1e-9);
  }
  const Comparison second = compared(before, right);
  EXPECT_NEAR(ratio_of(second, "wheel_rate_n_per_mm"), 1, 1e-8);
  const Difference& ride = difference(second, "rear left", "ride_height_mm");
  EXPECT_NEAR(*ride.after, *ride.before, 1e-8);
  const double bump_mm = *need.length_mm - (wrong.length_mm - 25);
  EXPECT_NEAR(*need.bump_travel_mm, bump_mm / need.motion_ratio_needed, 1e-8);
}

TEST(SpringNeeds, ACoilOfTwiceTheRateNeedsOneByRootTwoOfTheMotionRatio) {
  const LevelArm before{.rate_n_per_mm = 0.5};
  const LevelArm stiff{.rate_n_per_mm = 1, .squeeze_mm = 7};
  const Comparison twice = compared(before, stiff);
  ASSERT_EQ(twice.needs.size(), 1u);
  EXPECT_NEAR(twice.needs[0].motion_ratio_needed, 5.0 / 8 / std::sqrt(2.0), exact);
  EXPECT_NEAR(*twice.needs[0].motion_ratio_after, 5.0 / 8, exact);
  EXPECT_NEAR(twice.needs[0].force_n, 8 * std::sqrt(2.0), exact);  // 5 N at 8 modules, 8 N at 5
  expect_need_to_be_right(before, stiff);
}

TEST(SpringNeeds, TheLeverThatIsAskedForGivesTheSameRate) {
  expect_need_to_be_right({.rate_n_per_mm = 0.5}, {.rate_n_per_mm = 0.3, .squeeze_mm = 12});
  expect_need_to_be_right({.rate_n_per_mm = 0.5}, {.rate_n_per_mm = 0.35, .squeeze_mm = 4, .count = 2});
  // A progressive one, of a table: its rate is that where it then rests.
  expect_need_to_be_right({.rate_n_per_mm = 0.5}, {.squeeze_mm = 14, .law = "[[0, 1], [10, 5], [20, 14], [80, 100]]"});
}

TEST(SpringNeeds, ASpringThatCanNotBearTheLoadOnAnyLeverSaysSo) {
  const LevelArm before{.load_n = 12, .rate_n_per_mm = 0.5};
  // It bears 0.1 * 30 = 3 N at most; the lever for the same rate asks for more.
  const Comparison weak =
      compared(before, LevelArm{.load_n = 12, .length_mm = 35.5, .squeeze_mm = 24.5, .law = "[[0, 0.5], [50, 5.5]]"});
  ASSERT_EQ(weak.needs.size(), 1u);
  EXPECT_FALSE(weak.needs[0].length_mm);
  EXPECT_GT(weak.needs[0].force_n, weak.needs[0].most_n);
}

TEST(SpringNeeds, AreToldOfAModelThatDoesNotGoTogetherToo) {
  const Model before = demo("quarry-hauler");
  const Model after = changed(before, {SetSpring{0, 0, "coil-65-hard", 2}, SetLength{0, 0, 160}});
  const SolveResult none = solve(after);
  ASSERT_FALSE(none.solution);
  const Comparison comparison = compare_unsolved(before, solved(before), after, none.problems);
  EXPECT_FALSE(comparison.holds);
  EXPECT_THAT(comparison.verdict, HasSubstr("does not stand: linkage 'arm' does not go together"));
  EXPECT_EQ(comparison.needs.size(), 4u);
  EXPECT_EQ(comparison.needs[0].motion_ratio_after, std::nullopt);
}

// ------------------------------------------------------------------------------- the verdict

/// The quarry hauler's own numbers, then changed by hand.
struct Verdict : testing::Test {
  const Model model = demo("quarry-hauler");  // front left, front right, rear left, rear right
  const Solution before = solved(model);
  Solution after = before;

  Comparison judged(const Keep& keep = {}) const { return compare({model, before}, {model, after}, keep); }
  WheelResult& wheel(std::size_t corner) { return after.corners[corner].wheels[0]; }
};

TEST_F(Verdict, SaysHowMuchLowerAndWhere) {
  after.corners[2].ride_height_mm = *before.corners[2].ride_height_mm - 3.2;
  after.corners[3].ride_height_mm = *before.corners[3].ride_height_mm - 3.1;
  EXPECT_EQ(judged().verdict, "stands 3.2 mm lower at the rear");
  EXPECT_FALSE(judged().holds);
  EXPECT_NEAR(judged().worst, 3.2, exact);
  after.corners[3].ride_height_mm = *before.corners[3].ride_height_mm;
  EXPECT_EQ(judged().verdict, "stands 3.2 mm lower at rear left");
  after.corners[0].ride_height_mm = *before.corners[0].ride_height_mm - 1.5;
  EXPECT_EQ(judged().verdict, "stands 1.5 to 3.2 mm lower on the left");
  after.corners[0].ride_height_mm = *before.corners[0].ride_height_mm + 1.5;
  EXPECT_EQ(judged().verdict, "stands 3.2 mm lower at rear left and stands 1.5 mm higher at front left");
  for (CornerResult& corner : after.corners) corner.ride_height_mm = 50;
  EXPECT_THAT(judged().verdict, testing::MatchesRegex("stands 12\\.6 mm higher"));
}

TEST_F(Verdict, NamesEveryKindOfDifferenceAndEachPlaceOnce) {
  for (const std::size_t rear : {2u, 3u}) {
    after.corners[rear].ride_height_mm = *before.corners[rear].ride_height_mm - 2;
    wheel(rear).bump_travel_mm = 6.1;
    wheel(rear).wheel_rate_n_per_mm = 0.7 * *before.corners[rear].wheels[0].wheel_rate_n_per_mm;
    wheel(rear).reserve = 1.4;
  }
  EXPECT_EQ(
      judged().verdict,
      "stands 2.0 mm lower at the rear, bottoms out after 6.1 mm there (17.5 before), rides 30 % softer there and "
      "carries 1.40 times its load at most there (2.60 before)");
}

TEST_F(Verdict, TellsAWheelThatNoLongerRides) {
  wheel(0).state = wheel(1).state = WheelState::topped;
  wheel(2).state = WheelState::bottomed;
  EXPECT_EQ(judged().verdict, "rests on its bump stop at rear left and hangs on its droop stop in front");
  EXPECT_EQ(judged().worst, std::numeric_limits<double>::infinity());
}

TEST_F(Verdict, OneThatRidesAgainIsNoWorse) {
  Solution stopped = before;
  stopped.corners[0].wheels[0].state = WheelState::topped;
  EXPECT_TRUE(compare({model, stopped}, {model, before}).holds);
}

TEST_F(Verdict, TellsALeanWhereTheHeightsHold) {
  after.vehicle->pitch_deg += 0.8;
  after.vehicle->roll_deg -= 1;
  EXPECT_EQ(judged().verdict, "stands with its nose 0.8 degrees lower and leans 1.0 degrees more to the left");
}

TEST_F(Verdict, AnotherFrequencyIsToldWhereTheRateHolds) {
  for (std::size_t c = 0; c < 4; ++c) wheel(c).frequency_hz = 1.07 * *before.corners[c].wheels[0].frequency_hz;
  EXPECT_EQ(judged().verdict, "bobs 7.0 % quicker");
}

TEST_F(Verdict, MoreTravelAndReserveAreNoFault) {
  for (std::size_t c = 0; c < 4; ++c) {
    wheel(c).bump_travel_mm = 30;
    wheel(c).reserve = 5;
  }
  EXPECT_TRUE(judged().holds);
  // Towards a dead point the load that it can carry grows without bound.
  for (std::size_t c = 0; c < 4; ++c) wheel(c).reserve = wheel(c).bump_load_n = std::nullopt;
  EXPECT_TRUE(judged().holds);
}

TEST_F(Verdict, ANumberThatIsLostFails) {
  wheel(1).frequency_hz = std::nullopt;
  EXPECT_EQ(judged().verdict, "has no frequency_hz of front right/hub");
}

TEST_F(Verdict, ModesThatAreNotThereAreNoFault) {
  after.vehicle->modes.clear();
  EXPECT_TRUE(judged().holds);
}

TEST_F(Verdict, ANewProblemFailsAKnownOneDoesNot) {
  const Finding snap{Level::problem, "snap-through", "rear left/hub", "it gives way", "move it"};
  after.findings.push_back(snap);
  EXPECT_EQ(judged().verdict, "has a new problem (snap-through at rear left/hub)");
  ASSERT_EQ(judged().new_findings.size(), 1u);
  after.findings.push_back({Level::problem, "snap-through", "rear right/hub", "it gives way", "move it"});
  EXPECT_EQ(judged().verdict, "has a new problem (snap-through at rear left/hub and rear right/hub)");
  after.findings.pop_back();
  Solution known = before;
  known.findings.push_back(snap);
  EXPECT_TRUE(compare({model, known}, {model, after}).holds);
  after = before;
  after.findings.push_back({Level::warning, "low-bump", "rear left/hub", "", ""});
  EXPECT_TRUE(judged().holds);
}

TEST_F(Verdict, ADifferenceOnItsLimitHolds) {
  const double rear = *before.corners[2].ride_height_mm;
  after.corners[2].ride_height_mm = rear + 1;
  EXPECT_TRUE(judged().holds);
  EXPECT_NEAR(judged().worst, 1, exact);
  EXPECT_EQ(judged().verdict,
            "stands the same: ride height within 1.0 mm, pitch within 0.00 degrees and wheel rate within 0.0 %");
  after.corners[2].ride_height_mm = rear + 1.001;
  EXPECT_FALSE(judged().holds);
  EXPECT_TRUE(judged(Keep{.ride_mm = 2}).holds);
}

TEST_F(Verdict, CornersAreMatchedByName) {
  Model renamed = model;
  renamed.corners[2].name = "aft left";
  Solution solution = before;
  solution.corners[2].name = "aft left";
  const Comparison missing = compare({model, before}, {renamed, solution});
  EXPECT_EQ(missing.verdict, "lacks the corner rear left");
  EXPECT_EQ(difference(missing, "aft left", "corner").after_words, "there");
  EXPECT_TRUE(difference(missing, "aft left", "corner").within);
  EXPECT_THAT(missing.differences, Not(Contains(Field(&Difference::where, "rear left/hub"))));

  // The order of the file is no matter.
  Model turned = model;
  std::swap(turned.corners[0], turned.corners[2]);
  Solution turned_too = before;
  std::swap(turned_too.corners[0], turned_too.corners[2]);
  EXPECT_EQ(compare({model, before}, {turned, turned_too}).worst, 0);
}

// ------------------------------------------------------------------------------- the demo models

TEST(Compare, TheSkiddersBandHoldsItUpAndStiffensIt) {
  const Model banded = demo("log-skidder-banded"), plain = demo("log-skidder-plain");
  const Comparison by_file = compared(banded, plain);
  EXPECT_FALSE(by_file.holds);
  EXPECT_LT(*difference(by_file, "left side", "ride_height_mm").after,
            *difference(by_file, "left side", "ride_height_mm").before);
  EXPECT_LT(*difference(by_file, "left side/rear", "wheel_rate_n_per_mm").after,
            *difference(by_file, "left side/rear", "wheel_rate_n_per_mm").before);
  // Taking it out of the one gives the other.
  const int band = 2;
  ASSERT_EQ(banded.linkages[0].springs[band].name, "band");
  const Comparison by_change = compared(banded, changed(banded, {RemoveSpring{0, band}}));
  EXPECT_EQ(by_change.verdict, by_file.verdict);
}

TEST(Compare, ABarsWorthShowsInTheRollOfTheVehicle) {
  const Model before = demo("sand-loader");
  const Comparison without = compared(before, changed(before, {RemoveBar{0}}));
  EXPECT_FALSE(without.holds);
  EXPECT_THAT(without.verdict, testing::MatchesRegex("rolls [0-9]+ % slower"));
  EXPECT_EQ(difference(without, "rear bar", "bar").after_words, "none");
}

// ------------------------------------------------------------------------------- what steers

/// The carrier with its left tie rod's hole on the rack half a module farther out.
Model toed_carrier() {
  Model model = demo("slate-carrier");
  for (Linkage& linkage : model.linkages)
    if (linkage.plane == Plane::top)
      for (Body& body : linkage.bodies)
        for (Hole& hole : body.holes)
          if (body.name == "rack" && hole.name == "left") hole.p_B.y() += 4;
  return model;
}

// A steered linkage carries nothing: the stance is the same to the last digit, and yet the wheels point aside. The toe is
// what steer says of the changed model by itself.
TEST(Compare, AWheelThatPointsAsideFailsThoughTheStanceIsTheSame) {
  const Model before = demo("slate-carrier"), after = toed_carrier();
  const Comparison result = compared(before, after);
  EXPECT_FALSE(result.holds);
  EXPECT_THAT(result.verdict, HasSubstr("degrees aside with the steering centred (steering/left)"));
  const Difference& toe = difference(result, "steering/left", "toe_deg");
  const SteerResult steered = steer(after, solved(after), {.points = 2, .clearance = false});
  ASSERT_TRUE(steered.steered);
  EXPECT_NEAR(*toe.after, steered.steered->steering[0].wheels[0].toe_deg, 1e-9);
  EXPECT_GT(std::abs(*toe.after - *toe.before), 1);
  EXPECT_EQ(toe.tolerance, 0.5);
  EXPECT_FALSE(toe.within);
}

TEST(Compare, SteeringIsJudgedByItsOwnTolerances) {
  const Model before = demo("slate-carrier"), after = toed_carrier();
  const double toe = std::abs(*difference(compared(before, after), "steering/left", "toe_deg").after);
  Keep loose{.toe_deg = toe + 0.1, .lock_deg = 90, .ideal_deg = 90, .bump_steer_deg_per_10mm = 90, .turned_deg = 90};
  const Solution was = solved(before), is = solved(after);
  const SteerResult first = steer(before, was, {.points = 2}), second = steer(after, is, {.points = 2});
  ASSERT_TRUE(first.steered && second.steered);
  const auto holds = [&](const Keep& keep) {
    return compare({before, was, &*first.steered}, {after, is, &*second.steered}, keep).holds;
  };
  EXPECT_TRUE(holds(loose));
  loose.toe_deg = toe - 0.1;
  EXPECT_FALSE(holds(loose));
}

// An error of 3.5 degrees that shrinks, or changes its sign, is no fault; one that grows by over a degree is.
TEST(Compare, OnlyAGreaterErrorIsAFault) {
  const Allowed may_be = *allowed(quantity("worst_error_deg"), -3.5, {});
  EXPECT_EQ(may_be.least, -4.5);
  EXPECT_EQ(*may_be.most, 4.5);
}

// Less lock fails, more does not: 25 degrees were, 23.9 are; by the rule itself.
TEST(Compare, OnlyLessLockIsAFault) {
  const Allowed may_be = *allowed(quantity("inner_lock_deg"), 25, {});
  EXPECT_EQ(may_be.least, 24);
  EXPECT_FALSE(may_be.most);
}

TEST(Compare, ASteeringThatIsTheSameIsNotTold) {
  const Comparison same = compared(demo("slate-carrier"), demo("slate-carrier"));
  EXPECT_EQ(same.verdict, "stands the same: no number differs");
}

// Any number that is compared counts, not those alone that the sentence gives.
TEST_F(Verdict, NeverSaysThatNoNumberDiffersWhereOneDoes) {
  EXPECT_EQ(judged().verdict, "stands the same: no number differs");
  wheel(0).bump_travel_mm = *wheel(0).bump_travel_mm + 0.5;
  EXPECT_TRUE(judged().holds);
  EXPECT_THAT(judged().verdict, Not(HasSubstr("no number differs")));
}

}  // namespace
}  // namespace ridepitch
