#include "ride/findings.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <fstream>
#include <functional>
#include <set>
#include <string>
#include <vector>

// Limits are common practice, no source: docs/findings.md is their table. These tests pin which side of a limit
// gives a finding; every solution is written by hand, none is solved.

namespace ridepitch {
namespace {

using ::testing::HasSubstr;
using ::testing::IsEmpty;

/// A wheel about which there is nothing to say: 20 mm of travel, 8 droop and 12 bump, reserve 2.5.
WheelResult sound_wheel() {
  WheelResult wheel;
  wheel.name = "hub";
  wheel.load_n = 6.0;
  wheel.ground_load_n = 6.5;
  wheel.travel_mm = wheel.sag_mm = wheel.droop_travel_mm = 8.0;
  wheel.bump_travel_mm = 12.0;
  wheel.bump_total_mm = 20.0;
  wheel.bump_load_n = 15.0;
  wheel.reserve = 2.5;
  wheel.motion_ratio = 0.6;
  wheel.wheel_rate_n_per_mm = 0.5;
  wheel.frequency_hz = 4.0;
  wheel.bump_end = "main solid";
  wheel.droop_end = "main free";
  return wheel;
}

/// A model and its solution, kept alike: four corners, one wheel each, 10 modules ahead of and behind the middle.
struct Case {
  Model model;
  Solution solution;

  WheelResult& wheel(std::size_t corner) { return solution.corners[corner].wheels[0]; }
};

constexpr std::size_t front_left = 0, front_right = 1, rear_left = 2;

Case sound_vehicle() {
  Case c;
  Linkage arm;
  arm.name = "arm";
  c.model.linkages.push_back(arm);
  c.solution.vehicle.emplace();
  c.solution.vehicle->mass_kg = 2.4;
  c.solution.vehicle->total_mass_kg = 2.7;
  for (const char* name : {"front left", "front right", "rear left", "rear right"}) {
    Corner corner;
    corner.name = name;
    corner.at_mm = Vec3(corner.name[0] == 'f' ? 80 : -80, 0, 32);
    c.model.corners.push_back(corner);
    CornerResult result;
    result.name = name;
    result.ride_height_mm = 40;
    result.toggle_margin_deg = 50;
    result.coil_margin_deg = 50;
    result.wheels.push_back(sound_wheel());
    result.pins.push_back({"chassis.arm", 5.0, {}});
    c.solution.corners.push_back(result);
  }
  Mass frame;
  frame.name = "frame";
  frame.kg = 2.4;
  frame.size_mm = Vec3(300, 100, 40);
  c.model.masses.push_back(frame);
  c.solution.clearances.push_back({"belly", 15.0});
  return c;
}

std::vector<Finding> findings_of(const Case& c) { return judge(c.model, c.solution); }

std::vector<std::string> codes_of(const Case& c) {
  std::vector<std::string> codes;
  for (const Finding& finding : findings_of(c)) {
    codes.push_back(finding.code);
  }
  return codes;
}

/// The one finding of a case that should have no other.
Finding only_finding(const Case& c) {
  const std::vector<Finding> found = findings_of(c);
  EXPECT_EQ(found.size(), 1u);
  return found.empty() ? Finding{} : found[0];
}

TEST(Findings, AreNoneForASoundVehicle) { EXPECT_THAT(codes_of(sound_vehicle()), IsEmpty()); }

// ------------------------------------------------------------------------------------- limits of a wheel

/// Sets bump and droop of a wheel with 20 mm of travel.
void split_travel(WheelResult& wheel, double droop_mm) {
  wheel.travel_mm = wheel.sag_mm = wheel.droop_travel_mm = droop_mm;
  wheel.bump_travel_mm = 20.0 - droop_mm;
}

TEST(LowDroop, BeginsJustUnderAQuarterOfTheTravel) {
  Case c = sound_vehicle();
  split_travel(c.wheel(front_left), 5.0);  // 25 % of 20
  EXPECT_THAT(codes_of(c), IsEmpty());
  split_travel(c.wheel(front_left), 4.9);
  const Finding finding = only_finding(c);
  EXPECT_EQ(finding.code, "low-droop");
  EXPECT_EQ(finding.level, Level::warning);
  EXPECT_EQ(finding.where, "front left/hub");
  EXPECT_EQ(finding.text,
            "4.9 mm of droop is 24.5 % of its 20.0 mm of travel, under 25 %: it soon hangs in the air over a dip");
  EXPECT_THAT(finding.remedy, HasSubstr("softer spring"));
}

TEST(LowDroop, IsNotSaidOfAWheelOnItsDroopStopWhichIsSaidAlready) {
  Case c = sound_vehicle();
  split_travel(c.wheel(front_left), 0.0);
  c.wheel(front_left).state = WheelState::topped;
  EXPECT_THAT(codes_of(c), testing::ElementsAre("topped"));
}

TEST(LowDroop, ShowsEnoughDigitsToBeToldFromItsLimit) {
  Case c = sound_vehicle();
  split_travel(c.wheel(front_left), 4.9988);  // 24.994 %
  EXPECT_THAT(only_finding(c).text, HasSubstr("is 24.99 % of its"));
}

TEST(LowBump, BeginsJustUnderThirtyFivePercentOfTheTravel) {
  Case c = sound_vehicle();
  split_travel(c.wheel(rear_left), 13.0);  // 7 mm of 20 left
  EXPECT_THAT(codes_of(c), IsEmpty());
  split_travel(c.wheel(rear_left), 13.1);
  const Finding finding = only_finding(c);
  EXPECT_EQ(finding.code, "low-bump");
  EXPECT_EQ(finding.where, "rear left/hub");
  EXPECT_EQ(finding.text, "6.9 mm of bump is 34.5 % of its 20.0 mm of travel, under 35 %: it soon hits its stop");
}

TEST(LowReserve, BeginsJustUnderTwo) {
  Case c = sound_vehicle();
  c.wheel(front_left).reserve = 2.0;
  EXPECT_THAT(codes_of(c), IsEmpty());
  c.wheel(front_left).reserve = 1.9;
  const Finding finding = only_finding(c);
  EXPECT_EQ(finding.code, "low-reserve");
  EXPECT_EQ(finding.level, Level::warning);
  EXPECT_THAT(finding.text, HasSubstr("1.90 times what they carry at rest"));
}

TEST(LowReserve, IsAProblemUnderOne) {
  Case c = sound_vehicle();
  c.wheel(front_left).reserve = 1.0;
  EXPECT_EQ(only_finding(c).level, Level::warning);
  c.wheel(front_left).reserve = 0.99;
  EXPECT_EQ(only_finding(c).level, Level::problem);
}

TEST(WheelRateNotPositive, BeginsAtZero) {
  Case c = sound_vehicle();
  c.wheel(front_left).wheel_rate_n_per_mm = 1e-6;
  EXPECT_THAT(codes_of(c), IsEmpty());
  c.wheel(front_left).wheel_rate_n_per_mm = 0.0;
  EXPECT_EQ(only_finding(c).code, "wheel-rate-not-positive");
  c.wheel(front_left).wheel_rate_n_per_mm = -0.2;
  EXPECT_EQ(only_finding(c).level, Level::problem);
  EXPECT_THAT(only_finding(c).text, HasSubstr("-0.200 N/mm"));
}

TEST(NoTravel, IsFoundWhereDroopAndBumpAreOnePlace) {
  Case c = sound_vehicle();
  WheelResult& wheel = c.wheel(front_left);
  wheel.travel_mm = wheel.sag_mm = wheel.droop_travel_mm = wheel.bump_travel_mm = wheel.bump_total_mm = 0.0;
  EXPECT_EQ(only_finding(c).code, "no-travel");
  EXPECT_EQ(only_finding(c).level, Level::problem);
}

TEST(WheelState, LiftedToppedAndBottomedAreFoundAndNoOther) {
  const std::vector<std::tuple<WheelState, std::string, Level>> found = {
      {WheelState::lifted, "lifted", Level::warning},
      {WheelState::topped, "topped", Level::warning},
      {WheelState::bottomed, "bottomed", Level::problem},
  };
  for (const auto& [state, code, level] : found) {
    Case c = sound_vehicle();
    c.wheel(front_left).state = state;
    EXPECT_EQ(only_finding(c).code, code);
    EXPECT_EQ(only_finding(c).level, level);
  }
  for (const WheelState quiet : {WheelState::riding, WheelState::fixed}) {
    Case c = sound_vehicle();
    c.wheel(front_left).state = quiet;
    EXPECT_THAT(codes_of(c), IsEmpty());
  }
}

TEST(WheelState, NamesTheStopThatItRestsOn) {
  Case c = sound_vehicle();
  c.wheel(front_left).state = WheelState::bottomed;
  EXPECT_THAT(only_finding(c).text, HasSubstr("(main solid)"));
  c.wheel(front_left).state = WheelState::topped;
  EXPECT_THAT(only_finding(c).text, HasSubstr("(main free)"));
}

TEST(WheelState, BottomedSaysAllThatLowBumpAndLowReserveWouldSay) {
  Case c = sound_vehicle();
  split_travel(c.wheel(front_left), 20.0);
  c.wheel(front_left).reserve = 0.7;
  c.wheel(front_left).state = WheelState::bottomed;
  EXPECT_THAT(codes_of(c), testing::ElementsAre("bottomed"));
}

TEST(Findings, AreNoneWhereAWheelHasNoValues) {  // a fixed wheel, or one of a walking beam
  Case c = sound_vehicle();
  WheelResult bare;
  bare.name = "hub";
  c.wheel(front_left) = bare;
  c.solution.corners[front_left].toggle_margin_deg.reset();
  c.solution.corners[front_left].coil_margin_deg.reset();
  EXPECT_THAT(codes_of(c), IsEmpty());
}

// --------------------------------------------------------------------------------------- snap-through

/// A curve of 21 points over the 20 mm of travel whose wheel rate is `rate` of travel; load is its integral,
/// written out by the caller.
Curve curve_with(const std::function<double(double)>& rate, const std::function<double(double)>& load) {
  Curve curve;
  for (int k = 0; k <= 20; ++k) {
    CurvePoint point;
    point.travel_mm = k;
    point.wheel_rate_n_per_mm = rate(k);
    point.load_n = load(k);
    curve.points.push_back(point);
  }
  return curve;
}

// load = 6 + s - s^2/12 with s from rest at 8 mm: by hand its slope 1 - s/6 is 0 at s = 6, the load 9 N there,
// and 20 - 14 = 6 mm are left.
TEST(SnapThrough, IsFoundWithThePlaceAndHeightOfThePeak) {
  Case c = sound_vehicle();
  c.wheel(front_left).wheel_rate_n_per_mm = 1.0;
  c.solution.curves.push_back(curve_with([](double z) { return 1 - (z - 8) / 6; },
                                         [](double z) { return 6 + (z - 8) - (z - 8) * (z - 8) / 12; }));
  const Finding finding = only_finding(c);
  EXPECT_EQ(finding.code, "snap-through");
  EXPECT_EQ(finding.level, Level::problem);
  EXPECT_EQ(finding.where, "front left/hub");
  EXPECT_THAT(finding.text, HasSubstr("gives way 6.0 mm above rest"));
  EXPECT_THAT(finding.text, HasSubstr("peaks at 9.00 N there and falls 6.0 mm before full bump"));
}

TEST(SnapThrough, IsFoundWhereThePeakLiesBetweenTwoPoints) {  // slope 0 at 14.5 mm, load 6 + 6.5^2/13 = 9.25 there
  Case c = sound_vehicle();
  c.wheel(front_left).wheel_rate_n_per_mm = 1.0;
  c.solution.curves.push_back(curve_with([](double z) { return 1 - (z - 8) / 6.5; },
                                         [](double z) { return 6 + (z - 8) - (z - 8) * (z - 8) / 13; }));
  EXPECT_THAT(only_finding(c).text, HasSubstr("gives way 6.5 mm above rest: its load peaks at 9.25 N"));
}

TEST(SnapThrough, IsNotFoundWhereTheLoadOnlyLevelsOffAtFullBump) {
  Case c = sound_vehicle();
  c.solution.curves.push_back(curve_with([](double z) { return 1 - z / 20; }, [](double z) { return z - z * z / 40; }));
  EXPECT_THAT(codes_of(c), IsEmpty());
}

TEST(SnapThrough, IsNotFoundForAPeakBelowRest) {  // slope 0 at 4 mm, rising again from rest at 8 on
  Case c = sound_vehicle();
  c.solution.curves.push_back(curve_with([](double z) { return (z - 4) * (z - 7); }, [](double) { return 6.0; }));
  EXPECT_THAT(codes_of(c), IsEmpty());
}

TEST(SnapThrough, IsNotFoundForALevelForceWithRounding) {
  Case c = sound_vehicle();
  c.solution.curves.push_back(curve_with(
      [](double z) { return z < 10 ? 1.0 : (static_cast<int>(z) % 2 ? 1e-16 : -1e-16); }, [](double) { return 6.0; }));
  EXPECT_THAT(codes_of(c), IsEmpty());
}

TEST(SnapThrough, IsFoundForAVehicleThatFellThroughWhileItsWeightCameOn) {
  Case c = sound_vehicle();
  c.solution.vehicle->snapped = true;
  const Finding finding = only_finding(c);
  EXPECT_EQ(finding.code, "snap-through");
  EXPECT_EQ(finding.where, "");
}

// ------------------------------------------------------------------------------------- limits of a corner

TEST(Margins, AreFoundJustUnderTwentyDegrees) {
  Case c = sound_vehicle();
  c.solution.corners[0].toggle_margin_deg = c.solution.corners[0].coil_margin_deg = 20.0;
  EXPECT_THAT(codes_of(c), IsEmpty());
  c.solution.corners[0].toggle_margin_deg = 19.9;
  EXPECT_EQ(only_finding(c).code, "low-toggle-margin");
  EXPECT_EQ(only_finding(c).where, "front left");
  EXPECT_THAT(only_finding(c).text, HasSubstr("a rod is only 19.9 degrees"));
  c.solution.corners[0].toggle_margin_deg = 20.0;
  c.solution.corners[0].coil_margin_deg = 19.9;
  EXPECT_EQ(only_finding(c).code, "low-coil-margin");
  EXPECT_THAT(only_finding(c).text, HasSubstr("a coil is only 19.9 degrees"));
}

/// Friction that holds a corner in a band so much wider than its sag.
void stick(Case& c, double wider_mm) {
  CornerResult& corner = c.solution.corners[0];
  corner.wheels[0].friction_n = 1.0;
  corner.pressed_height_mm = 30.0;
  corner.lifted_height_mm = 30.0 + *corner.wheels[0].sag_mm + wider_mm;
}

TEST(Sticking, BeginsWhereTheBandIsWiderThanTheSag) {
  Case c = sound_vehicle();
  stick(c, 0);
  EXPECT_THAT(codes_of(c), IsEmpty());
  stick(c, 0.1);
  EXPECT_EQ(only_finding(c).code, "sticks");
}

TEST(PinLoad, BeginsJustOverFifteenNewton) {
  Case c = sound_vehicle();
  c.solution.corners[0].pins[0].force_n = 15.0;
  EXPECT_THAT(codes_of(c), IsEmpty());
  c.solution.corners[0].pins[0].force_n = 15.1;
  EXPECT_EQ(only_finding(c).code, "pin-load");
  EXPECT_EQ(only_finding(c).where, "front left/chassis.arm");
  EXPECT_THAT(only_finding(c).text, HasSubstr("15.1 N on one side of this pin, over 15 N"));
}

TEST(Redundant, IsTheCornersMobilityNote) {
  Case c = sound_vehicle();
  c.solution.corners[1].mobility_note = "rods 'a' and 'b' hold the same freedom";
  EXPECT_EQ(only_finding(c).code, "redundant");
  EXPECT_EQ(only_finding(c).level, Level::note);
  EXPECT_EQ(only_finding(c).text, "rods 'a' and 'b' hold the same freedom");
}

// ------------------------------------------------------------------------------------ limits of a vehicle

TEST(LeftRightLoad, BeginsJustOverFifteenPercentOfTheGreater) {
  Case c = sound_vehicle();
  c.wheel(front_left).load_n = 8.0;
  c.wheel(front_right).load_n = 6.8;  // 1.2 of 8 is 15 %
  EXPECT_THAT(codes_of(c), IsEmpty());
  c.wheel(front_right).load_n = 6.7;
  const Finding finding = only_finding(c);
  EXPECT_EQ(finding.code, "left-right-load");
  EXPECT_EQ(finding.where, "front left/hub, front right/hub");
  EXPECT_THAT(finding.text, HasSubstr("8.00 N and 6.70 N: 16.2 % apart, over 15 %"));
}

TEST(LeftRightLoad, ComparesTheTwoWheelsOfALiveAxle) {
  Case c = sound_vehicle();
  CornerResult axle;
  axle.name = "axle";
  axle.wheels = {sound_wheel(), sound_wheel()};
  axle.wheels[0].name = "left";
  axle.wheels[1].name = "right";
  axle.wheels[1].load_n = 3.0;
  c.solution.corners.push_back(axle);
  Corner corner;
  corner.name = "axle";
  c.model.corners.push_back(corner);
  EXPECT_EQ(only_finding(c).where, "axle/left, axle/right");
}

TEST(LeftRightLoad, KnowsLeftAndRightHoweverTheyAreWritten) {  // as `mirror` does: docs/model-format.md, "Corners"
  for (const auto& [left, right] : {std::pair("Front Left", "Front Right"), std::pair("FRONT LEFT", "FRONT RIGHT")}) {
    Case c = sound_vehicle();
    c.model.corners[0].name = c.solution.corners[0].name = left;
    c.model.corners[1].name = c.solution.corners[1].name = right;
    c.wheel(0).load_n = 1.0;
    EXPECT_EQ(only_finding(c).code, "left-right-load") << left;
  }
}

TEST(LeftRightLoad, LooksOnlyAtTheWholeWordsLeftAndRight) {
  Case c = sound_vehicle();
  c.model.corners[0].name = c.solution.corners[0].name = "cleft";
  c.model.corners[1].name = c.solution.corners[1].name = "cright";
  c.wheel(0).load_n = 1.0;
  EXPECT_THAT(codes_of(c), IsEmpty());
}

TEST(FrequencyRatio, IsFoundJustOutsideEightTenthsToFiveQuarters) {
  Case c = sound_vehicle();
  const auto set_front = [&](double hz) { c.wheel(front_left).frequency_hz = c.wheel(front_right).frequency_hz = hz; };
  for (const double inside : {3.2, 5.0}) {  // 0.8 and 1.25 of the rear's 4 Hz
    set_front(inside);
    EXPECT_THAT(codes_of(c), IsEmpty()) << inside;
  }
  set_front(3.192);
  EXPECT_EQ(only_finding(c).code, "frequency-ratio");
  EXPECT_EQ(only_finding(c).where, "");
  EXPECT_THAT(only_finding(c).text, HasSubstr("front over rear is 0.798, under 0.8"));
  EXPECT_THAT(only_finding(c).remedy, HasSubstr("stiffer springs in front"));
  set_front(5.01);
  EXPECT_THAT(only_finding(c).text, HasSubstr("front over rear is 1.252, over 1.25"));
  EXPECT_THAT(only_finding(c).remedy, HasSubstr("softer springs in front"));
}

TEST(FrequencyRatio, CountsAWheelByWhereItsCentreStands) {
  Case c = sound_vehicle();
  c.wheel(rear_left).frequency_hz = 40.0;
  EXPECT_EQ(codes_of(c), std::vector<std::string>{"frequency-ratio"});
  // Its arm now reaches 160 mm forward of its corner (80 mm ahead of the middle): front and rear are 16 and 4 Hz.
  c.wheel(rear_left).centre_C_mm = Vec2(160, -20);
  EXPECT_THAT(only_finding(c).text, HasSubstr("front bobs at 16.00 Hz and the rear at 4.00 Hz"));
  // Flipped, the arm reaches as far back instead.
  c.model.corners[rear_left].flip = true;
  EXPECT_THAT(only_finding(c).text, HasSubstr("front bobs at 4.00 Hz and the rear at 22.00 Hz"));
}

TEST(FrequencyRatio, NeedsAFrequencyAtEitherEnd) {
  Case c = sound_vehicle();
  c.wheel(front_left).frequency_hz = 40.0;
  c.wheel(2).frequency_hz.reset();
  c.wheel(3).frequency_hz.reset();
  EXPECT_THAT(codes_of(c), IsEmpty());
}

TEST(InertiaGuess, BeginsJustOverFivePercentOfTheSprungMass) {
  Case c = sound_vehicle();
  Mass crate;
  crate.name = "crate";
  crate.kg = 0.12;  // 5 % of 2.4
  c.model.masses.push_back(crate);
  EXPECT_THAT(codes_of(c), IsEmpty());
  c.model.masses.back().kg = 0.121;
  EXPECT_EQ(only_finding(c).code, "inertia-guess");
  EXPECT_EQ(only_finding(c).level, Level::note);
  EXPECT_EQ(only_finding(c).where, "crate");
  c.model.masses.back().size_mm = Vec3(8, 8, 8);
  EXPECT_THAT(codes_of(c), IsEmpty());
}

TEST(InertiaGuess, IsFoundForAWeighedVehicleWithoutASize) {
  Case c = sound_vehicle();
  c.model.masses.clear();
  c.model.weighed.emplace_back();
  EXPECT_EQ(only_finding(c).code, "inertia-guess");
  c.model.sprung.emplace();
  EXPECT_EQ(only_finding(c).code, "inertia-guess");
  c.model.sprung->size_mm = Vec3(300, 100, 50);
  EXPECT_THAT(codes_of(c), IsEmpty());
}

TEST(Grounded, BeginsJustUnderTheGround) {
  Case c = sound_vehicle();
  c.solution.clearances[0].height_mm = 0.0;
  EXPECT_THAT(codes_of(c), IsEmpty());
  c.solution.clearances[0].height_mm = -0.01;
  EXPECT_EQ(only_finding(c).code, "grounded");
  EXPECT_EQ(only_finding(c).where, "belly");
  EXPECT_THAT(only_finding(c).text, HasSubstr("0.01 mm under the ground"));
}

TEST(Stance, IndeterminateLoadsAndOtherStancesAreFound) {
  Case c = sound_vehicle();
  c.solution.vehicle->indeterminate = true;
  EXPECT_EQ(only_finding(c).code, "indeterminate");
  c.solution.vehicle->indeterminate = false;
  c.solution.vehicle->other_stances.push_back({"bump", 3.25, 0.0, {}});
  EXPECT_EQ(only_finding(c).code, "other-stance");
}

TEST(Findings, OfTheVehicleAreNoneInBenchMode) {
  Case c = sound_vehicle();
  c.solution.vehicle.reset();
  c.model.bench = true;
  c.wheel(front_left).load_n = 60.0;
  c.wheel(front_left).frequency_hz = 40.0;
  c.model.masses[0].size_mm.reset();
  EXPECT_THAT(codes_of(c), IsEmpty());
}

TEST(Findings, ComeInOrderOfCornersTheVehicleLast) {
  Case c = sound_vehicle();
  c.solution.vehicle->indeterminate = true;
  c.wheel(rear_left).reserve = 1.5;
  c.solution.corners[front_right].toggle_margin_deg = 3.0;
  EXPECT_THAT(codes_of(c), testing::ElementsAre("low-toggle-margin", "low-reserve", "indeterminate"));
}

TEST(Findings, TakeTheLimitsTheyAreGiven) {
  const Case c = sound_vehicle();
  EXPECT_EQ(judge(c.model, c.solution, {.reserve = 3.0}).size(), 4u);
}

// ------------------------------------------------------------------------------- every finding

/// One case for each finding: what breaks a sound vehicle so that it appears.
std::vector<std::function<void(Case&)>> every_way_to_break_it() {
  return {
      [](Case& c) { split_travel(c.wheel(0), 1.0); },
      [](Case& c) { split_travel(c.wheel(0), 19.0); },
      [](Case& c) { c.wheel(0).bump_total_mm = 0.0; },
      [](Case& c) { c.wheel(0).reserve = 1.5; },
      [](Case& c) { c.wheel(0).state = WheelState::lifted; },
      [](Case& c) { c.wheel(0).state = WheelState::topped; },
      [](Case& c) { c.wheel(0).state = WheelState::bottomed; },
      [](Case& c) { c.wheel(0).wheel_rate_n_per_mm = -1.0; },
      [](Case& c) { c.solution.vehicle->snapped = true; },
      [](Case& c) { c.solution.corners[0].toggle_margin_deg = 1.0; },
      [](Case& c) { c.solution.corners[0].coil_margin_deg = 1.0; },
      [](Case& c) { c.solution.corners[0].pins[0].force_n = 99.0; },
      [](Case& c) { c.solution.corners[0].mobility_note = "a note"; },
      [](Case& c) { c.wheel(0).load_n = 60.0; },
      [](Case& c) { c.wheel(0).frequency_hz = 60.0; },
      [](Case& c) { c.model.masses[0].size_mm.reset(); },
      [](Case& c) { c.solution.clearances[0].height_mm = -1.0; },
      [](Case& c) {
        c.model.linkages[0].wheels.emplace_back().tyre = {
            .diameter_mm = 60, .width_mm = 20, .mass_g = 0, .rate_n_per_mm = 0.05};
      },
      [](Case& c) { c.solution.vehicle->indeterminate = true; },
      [](Case& c) { stick(c, 0.1); },
      [](Case& c) { c.solution.vehicle->other_stances.emplace_back(); },
  };
}

TEST(EveryFinding, SaysWhatAndWhatToDo) {  // each says where to start: a text and a remedy of its own
  for (const auto& break_it : every_way_to_break_it()) {
    Case c = sound_vehicle();
    break_it(c);
    for (const Finding& finding : findings_of(c)) {
      EXPECT_FALSE(finding.text.empty()) << finding.code;
      EXPECT_FALSE(finding.remedy.empty()) << finding.code;
    }
  }
}

/// Every code that stands in the source, so that one written there but never in the cases above is noticed. That each has
/// its row in the table is a test of the pages.
TEST(EveryFinding, HasACase) {
  std::ifstream source(RIDEPITCH_SOURCE_DIR "/sim/ride/findings.cpp");
  const std::string text((std::istreambuf_iterator<char>(source)), std::istreambuf_iterator<char>());
  std::set<std::string> named, produced;
  for (std::size_t at = text.find("Level::"); at != std::string::npos; at = text.find("Level::", at + 1)) {
    const std::size_t open = text.find(", \"", at);
    if (open != std::string::npos && open - at < 20) {
      named.insert(text.substr(open + 3, text.find('"', open + 3) - open - 3));
    }
  }
  for (const auto& break_it : every_way_to_break_it()) {
    Case c = sound_vehicle();
    break_it(c);
    for (const std::string& code : codes_of(c)) {
      produced.insert(code);
    }
  }
  EXPECT_EQ(named, produced);
}

}  // namespace
}  // namespace ridepitch
