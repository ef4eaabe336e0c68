#include "cli/solve_text.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "cli/hand_built.hpp"
#include "cli/program.hpp"

namespace ridepitch {
namespace {

using testing::Contains;
using testing::ContainsRegex;
using testing::HasSubstr;
using testing::Not;
using testing::StartsWith;

Solved hauler_with(std::vector<Finding> findings) {
  Solved solved = hand_built_hauler();
  solved.solution.findings = std::move(findings);
  return solved;
}

const Finding low_reserve_left{Level::warning, "low-reserve", "front left/hub", "too little", "a stiffer spring"};
const Finding low_reserve_right{Level::warning, "low-reserve", "front right/hub", "too little", "a stiffer spring"};
const Finding bottomed{Level::problem, "bottomed", "rear left/hub", "on its stop", "a stiffer spring"};
const Finding guess{Level::note, "inertia-guess", "crate", "no size", "give it a size"};

TEST(SolveText, BeginsWithTheAnswerInASentence) {
  EXPECT_EQ(lines_of(solve_text(hand_built_hauler(), {}))[0],
            "Quarry hauler: it stands on all 4 wheels, nose 0.6 degrees down. Nothing was found against it.");
}

TEST(SolveText, SaysInTheAnswerWhatWasFound) {
  EXPECT_THAT(solve_text(hauler_with({low_reserve_left, guess}), {}),
              HasSubstr("It works; 1 warning and 1 note at\nthe end."));
  EXPECT_THAT(solve_text(hauler_with({low_reserve_left, bottomed}), {}),
              HasSubstr("It does not work as it is: 1\nproblem and 1 warning at the end."));
}

TEST(SolveText, SaysHowItLeansAndWhichWheelsStand) {
  Solved solved = hand_built_hauler();
  solved.solution.vehicle->pitch_deg = -1.26;
  solved.solution.vehicle->roll_deg = 0.3;
  solved.solution.corners[3].wheels[0].state = WheelState::lifted;
  EXPECT_THAT(solve_text(solved, {}),
              HasSubstr("stands on 3 of its 4 wheels, tail 1.3 degrees down, right side 0.3 degrees down."));
  solved.solution.vehicle->pitch_deg = solved.solution.vehicle->roll_deg = 0.01;
  EXPECT_THAT(solve_text(solved, {}), HasSubstr("of its 4 wheels, level."));
}

// 7.347762334 N over 9.80665 m/s2 is 749.3 g; four wheels weigh 2708 g (2.708 kg): by hand from the values of the
// independent solver. What built ones do is filled in by hand.
TEST(SolveText, ShowsNextWhatABuilderCanCheckByHand) {
  Solved solved = hand_built_hauler();
  for (const std::size_t front : {0u, 1u}) {
    CornerResult& corner = solved.solution.corners[front];
    corner.as_built_height_mm = 36.96;
    corner.pressed_height_mm = 34.9;
    corner.lifted_height_mm = 38.7;
    corner.wheels[0].weight_to_bump_g = 923.4;
    corner.wheels[0].sink_100g_mm = 1.54;
    corner.wheels[0].break_out_g = 95.5;
    corner.wheels[0].set_down_height_mm = 6.6;
  }
  for (const std::size_t rear : {2u, 3u}) solved.solution.corners[rear].wheels[0].weight_to_bump_why = "grounds: belly";
  const std::vector<std::string> lines = lines_of(solve_text(solved, {Ink{}, true}));
  EXPECT_EQ(lines[2], "Check by hand               ride height  as built  sticks between  scale reads");
  EXPECT_EQ(lines[3], "                                     mm        mm              mm            g");
  EXPECT_EQ(lines[4], "  front left and right/hub         37.4      37.0    34.9 to 38.7          749");
  EXPECT_EQ(lines[6], "  all wheels                                                              2708");
  EXPECT_EQ(lines[8],
            "Press it down               can be pressed  by a weight of  under 100 g  break-out  set down from");
  EXPECT_EQ(lines[9],
            "                                        mm               g           mm          g             mm");
  EXPECT_EQ(lines[10],
            "  front left and right/hub            14.6             923          1.5         96              7");
  EXPECT_EQ(lines[11],
            "  rear left and right/hub             17.5   belly grounds            -          -              -");
}

TEST(SolveText, ShowsTheBuildersRulerBesideTheHeight) {
  Solved solved = hand_built_hauler();
  EXPECT_THAT(solve_text(solved, {}), Not(HasSubstr("your ruler")));
  solved.solution.measured.push_back({2, 39.5, 1, 39.0, {}});
  const std::vector<std::string> lines = lines_of(solve_text(solved, {}));
  EXPECT_THAT(lines[2], HasSubstr("ride height  your ruler  off  scale reads"));
  EXPECT_THAT(lines, Contains(ContainsRegex("  rear left/hub +39\\.0 +39\\.5 +0\\.5 +605$")));
  EXPECT_THAT(solve_text(solved, {}), Not(HasSubstr("Why your ruler differs"))) << "0.5 mm is within 1 mm";
}

TEST(SolveText, SaysWhyTheRulerMayDiffer) {
  Solved solved = hand_built_hauler();
  solved.solution.measured.push_back({2, 37.0, 1, 39.0, {}});
  EXPECT_THAT(solve_text(solved, {}), HasSubstr("Nothing here explains it: measure again, then check holes."));
  solved.solution.causes.push_back(
      {"rate", "spring coil-7-firm", "8.0 % less rate: 0.570 N/mm", -8, "%", 0.8, 0.25, 0.7});
  const std::string text = solve_text(solved, {});
  EXPECT_THAT(text, HasSubstr("Why your ruler differs  it would take                        leaves  likelihood"));
  EXPECT_THAT(text, HasSubstr("  spring coil-7-firm    8.0 % less rate: 0.570 N/mm             0.2          70\n"));
  EXPECT_THAT(text, HasSubstr("  none of these         the ruler is off, or something else                  30\n"));
}

TEST(SolveText, SaysThatReadingsAreNotComparedOnASlope) {
  Solved solved = hand_built_hauler();
  solved.model.measured.push_back({0, 37.0, {}});
  EXPECT_THAT(solve_text(solved, {}), Not(HasSubstr("level ground: it is not compared")));
  solved.solution.floor = FloorResult{};
  EXPECT_THAT(solve_text(solved, {}), HasSubstr("level ground: it is not compared"));
}

TEST(SolveText, ShowsTheScaleBesideTheLoadsAndHowSureTheCentreIs) {
  Solved solved = hand_built_hauler();
  EXPECT_THAT(solve_text(solved, {}), Not(HasSubstr("Weighing")));
  Weighing weighing;
  weighing.mass_within_kg = 0.01;
  weighing.cg_x_within_mm = 1.6;
  weighing.pitch_within_deg = 0.25;
  weighing.ride_height_within_mm = {0.2, 0.2, 0.3, 0.3};
  weighing.height_known = true;
  weighing.readings = {{{"front left/hub", "front right/hub"}, 1.5, 0.005, 1.4985, 0.001},
                       {{"rear left/hub"}, 0.7, 0.005, 0.66, 0.0254}};
  solved.solution.weighing = weighing;
  const std::string text = solve_text(solved, {});
  EXPECT_THAT(text,
              HasSubstr("  front left/hub, front right/hub        1500      1498    2       5\n"));  // of 1498.5
  EXPECT_THAT(text, HasSubstr("  rear left/hub                           700       660   40      25\n"));
  EXPECT_THAT(text, HasSubstr("x 2.16 +- 0.20, y 0 (left and right were not weighed apart) modules"));  // 1.6 mm of 8
  EXPECT_THAT(text, HasSubstr("pitch +- 0.25 deg, roll +- 0.00 deg, ride heights +- 0.3 mm at most"));
  for (const std::string& line : lines_of(text)) EXPECT_LE(width_of(line), page_width) << line;
}

// 0.4840924144 N/mm over 9.80665 m/s2 is 49.36 g/mm.
TEST(SolveText, GivesStiffnessInNewtonAndInGrams) {
  EXPECT_THAT(
      lines_of(solve_text(hand_built_hauler(), {})),
      Contains("  front left and right/hub  6.59      13.45     2.04         0.625       0.484  49.4       4.27"));
}

// What a bottomed wheel carries is more than its springs hold on the way: nothing more need be put on it.
TEST(SolveText, AsksForNoWeightOnAWheelThatIsAtItsStop) {
  Solved solved = hand_built_hauler();
  WheelResult& wheel = solved.solution.corners[0].wheels[0];
  wheel.state = WheelState::bottomed;
  wheel.bump_travel_mm = 0;
  wheel.bump_load_n = 5.0;
  wheel.weight_to_bump_g = 0;
  EXPECT_THAT(lines_of(solve_text(solved, {})), Contains(ContainsRegex("  front left/hub +0\\.0 +0$")));
}

TEST(SolveText, SaysFirstWhatItStandsOn) {
  EXPECT_THAT(
      solve_text(hand_built_on_floor(), {}),
      StartsWith("Quarry hauler: on a slope of 10 degrees, its left side downhill, front left/hub on a block 12.5 mm\n"
                 "high, rear left/hub in a dip 3 mm deep: it stands on all 4 wheels, nose 0.6 degrees down, as seen\n"
                 "from the floor. Nothing was found against it.\n"));
}

TEST(SolveText, SaysHowRoughTheGroundMayGet) {
  EXPECT_THAT(
      solve_text(hand_built_on_floor(), {Ink{}, true}),
      HasSubstr("Uneven ground      block  follows  lifts first                     dip  follows  lifts first\n"
                "                      mm       mm                                   mm       mm\n"
                "  front left/hub    42.2     14.5  rear left/hub                  33.5     11.0  rear right/hub\n"
                "  front right/hub   38.5     12.0  front left/hub, rear left/hub  60.0      9.0  it tips over\n"));
}

TEST(SolveText, SaysHowSteepTheFloorMayGet) {
  const std::string text = solve_text(hand_built_on_floor(), {Ink{}, true});
  EXPECT_THAT(text, HasSubstr("Tilted floor           lifts at  tips at  lifts first\n"
                              "                            deg      deg\n"
                              "  left side downhill       44.5     50.8  rear right/hub\n"
                              "  right side downhill         -     48.5  -\n"
                              "  nose downhill               -        -  -\n"));
  EXPECT_THAT(
      text,
      HasSubstr("A block lifts a wheel soonest if it stands under front right/hub: over 38.5 mm high, front left/hub,\n"
                "rear left/hub come off the ground.\n"));
  EXPECT_THAT(
      text,
      HasSubstr("It tips over first with its right side downhill, on more than 48.5 degrees. Its tyres slide on more\n"
                "than 38.7 degrees.\n"));
}

TEST(SolveText, SaysNothingOfTheGroundUnlessAsked) {
  for (const char* word : {"Uneven ground", "Tilted floor", "tips over"}) {
    EXPECT_THAT(solve_text(hand_built_hauler(), {}), Not(HasSubstr(word)));
  }
}

TEST(SolveText, ShowsTheWaysOfWheelsThatHaveOne) {
  const std::string text = solve_text(hand_built_on_floor(), {Ink{}, true});
  EXPECT_THAT(text, ContainsRegex(
                        "Camber and track +camber  camber change  at droop  at bump  track change  at droop  at bump\n"
                        " +deg +deg/mm +deg +deg +mm/mm +mm +mm\n"
                        "  front left and right/ +-0.50 +-0.125 +1.25 +-3.50 +0.250 +-2.5 +1.5\n"));
  EXPECT_THAT(text, ContainsRegex("Wheelbase +wheelbase change  at droop  at bump\n"
                                  " +mm/mm +mm +mm\n"
                                  "  rear left and right/hub +-0.062 +1.8 +-4.5\n"));
  EXPECT_THAT(text, HasSubstr("Axles                              track  roll centre\n"
                              "                                      mm           mm\n"
                              "  front left/hub, front right/hub  128.0         25.5\n"
                              "  rear left/hub, rear right/hub    136.0            -\n"));
  for (const char* title : {"Camber", "Wheelbase", "Axles"})
    EXPECT_THAT(solve_text(hand_built_hauler(), {}), Not(HasSubstr(title)));
}

TEST(SolveText, NamesTheEndsOfTravelAndTheLinksThatWentStraight) {
  EXPECT_THAT(solve_text(hand_built_hauler(), {}), HasSubstr("main free      main solid"));
  EXPECT_THAT(solve_text(hand_built_bench(), {}), HasSubstr("dead point (pushrod, rocker)"));
}

TEST(SolveText, ListsPartsOnceForCornersThatCarryTheSame) {
  const std::string text = solve_text(hand_built_hauler(), {});
  EXPECT_THAT(text, HasSubstr("  front left, front right\n"));
  EXPECT_THAT(text, HasSubstr("  rear left, rear right\n"));
}

TEST(SolveText, ShowsTheWheelRateMatrixOfCornersWithSeveralWheelsOnce) {
  Solved solved = hand_built_hauler();
  for (const std::size_t corner : {2u, 3u}) {
    CornerResult& result = solved.solution.corners[corner];
    result.wheels.push_back(result.wheels[0]);
    result.wheels[0].name = "fore";
    result.wheels[1].name = "aft";
    result.wheel_rate_matrix_n_per_mm = {0.5, 0.125, 0.125, 0.625};
  }
  EXPECT_THAT(solve_text(solved, {Ink{}, true}), HasSubstr("Rates of rear left, rear right   fore    aft\n"
                                                           "N/mm                            rises  rises\n"
                                                           "  at fore                       0.500  0.125\n"
                                                           "  at aft                        0.125  0.625\n"));
}

TEST(SolveText, SaysWhetherARodIsSqueezedOrStretched) {
  Solved solved = hand_built_hauler();
  solved.solution.corners[0].rods[0].force_n = -3.0;
  solved.solution.corners[1].rods[0].force_n = 0.0;
  const std::string text = solve_text(solved, {});
  EXPECT_THAT(text, ContainsRegex("    rod pushrod +3.00 +stretched"));
  EXPECT_THAT(text, ContainsRegex("    rod pushrod +0.00 +unloaded"));
  EXPECT_THAT(text, ContainsRegex("    rod pushrod +8.29 +squeezed"));
}

TEST(SolveText, SaysOnceWhatIsFoundOfBothSidesTheGravestFirst) {
  const std::string text = solve_text(hauler_with({low_reserve_left, low_reserve_right, guess, bottomed}), {});
  EXPECT_THAT(text, HasSubstr("Findings\n"
                              "  problem  bottomed: rear left/hub\n"
                              "           on its stop\n"
                              "           try: a stiffer spring\n"
                              "  warning  low-reserve: front left/hub, front right/hub\n"
                              "           too little\n"
                              "           try: a stiffer spring\n"
                              "  note     inertia-guess: crate\n"
                              "           no size\n"
                              "           try: give it a size\n"));
}

TEST(SolveText, EndsWithWhatIsNotInTheFigures) {
  EXPECT_THAT(solve_text(hand_built_hauler(), {}),
              testing::EndsWith("usually another 1 to 2 mm lower (common practice).\n"));
}

TEST(SolveText, OnTheBenchLeavesOutTheVehicle) {
  const std::string text = solve_text(hand_built_bench(), {});
  EXPECT_THAT(text, StartsWith("Single arm: on the bench, each linkage alone under its load."));
  EXPECT_THAT(text, HasSubstr("load given"));
  for (const char* of_a_vehicle : {"scale reads", "all wheels", "Vehicle", "bounce"}) {
    EXPECT_THAT(text, Not(HasSubstr(of_a_vehicle)));
  }
}

TEST(SolveText, ExplainsItsHeadingsUnlessItIsTerse) {
  EXPECT_THAT(solve_text(hand_built_hauler(), {}), HasSubstr("how much the spring shortens"));
  const std::string terse = solve_text(hand_built_hauler(), {Ink{}, true});
  EXPECT_THAT(terse, Not(HasSubstr("how much the spring shortens")));
  EXPECT_THAT(terse, HasSubstr("motion ratio"));
}

TEST(SolveText, LeavesOutACornerThatOnlySteers) {
  Solved solved = hand_built_hauler();
  Linkage top;
  top.plane = Plane::top;
  solved.model.linkages.push_back(top);
  solved.model.corners[3].linkage = 1;
  EXPECT_THAT(solve_text(solved, {}), Not(HasSubstr("rear right/hub")));
}

TEST(SolveText, FitsAHundredColumnsWhateverTheNames) {
  Solved solved = hand_built_on_floor();
  solved.solution.findings = {low_reserve_left, bottomed, guess};
  for (WheelReach& reach : solved.solution.floor->wheels) reach.wheel = reach.block.lifted[0] = std::string(90, 'r');
  for (AxleResult& axle : solved.solution.axles) axle.wheels[0] = std::string(120, 'a');
  for (CornerResult& corner : solved.solution.corners) {
    corner.name = std::string(70, 'c') + " " + corner.name;
    corner.wheels[0].bump_end = std::string(80, 'e');
    corner.wheels[0].droop_end = std::string(80, 'e');
    corner.springs[0].name = std::string(90, 's');
    corner.springs[0].motion_ratio = {{"hub", 0.5}, {std::string(90, 'w'), 0.25}};
    corner.pins[0].name = std::string(120, 'p');
  }
  solved.solution.findings[0].text += std::string(300, 'x') + " " + std::string(60, 'y');
  solved.solution.findings[0].text = "";
  for (int k = 0; k < 60; ++k) solved.solution.findings[0].text += "word ";
  for (const std::string& line : lines_of(solve_text(solved, {}))) EXPECT_LE(width_of(line), page_width) << line;
}

TEST(SolveText, NeverSaysByColourAlone) {
  const Solved solved = hauler_with({low_reserve_left, bottomed, guess});
  std::string inked = solve_text(solved, {Ink{true}, false});
  ASSERT_THAT(inked, HasSubstr("\x1b["));
  for (std::size_t at = inked.find('\x1b'); at != std::string::npos; at = inked.find('\x1b', at)) {
    inked.erase(at, inked.find('m', at) - at + 1);
  }
  EXPECT_EQ(inked, solve_text(solved, {}));
}

TEST(SolveText, PrintsNoControlCharactersFromNames) {
  Solved solved = hauler_with({{Level::note, "inertia-guess", "\x1b[2J", "\x1b]0;x\x07", ""}});
  solved.solution.model = "evil\x1b[31m";
  solved.solution.corners[0].name = "evil\x1b[31m";
  solved.solution.corners[0].springs[0].name = "evil\x1b[31m";
  solved.solution.clearances[0].name = "evil\x1b[31m";
  EXPECT_THAT(solve_text(solved, {}), Not(HasSubstr("\x1b")));
}

}  // namespace
}  // namespace ridepitch
