// Vehicles on blocks and on slopes: rigid tables, whose statics is a textbook's, and wheels on upright slides.
// A wheel's tyre has a radius of 30 mm; corners sit 4 modules of 8 mm up.

#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>

#include "rigs/models.hpp"
#include "rigs/rest.hpp"
#include "rigs/texts.hpp"
#include "rigs/units.hpp"

namespace ridepitch {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;

// Four fixed wheels at (+-80, +-64) mm, their centres 4 modules up, the mass at (x, y, z) modules.
std::string table(double x = 0, double y = 0, double z = 5) {
  return body(1000, x, y, z) + fixed_wheel() + four_corners("f", 10, 8);
}

SolveResult on_floor(const std::string& text, Floor floor) {
  return solve(on_tyres(read_rig(text)), {.curve_points = 3, .other_stances = false, .floor = std::move(floor)});
}

Solution stood(const std::string& text, Floor floor) {
  const SolveResult result = on_floor(text, std::move(floor));
  for (const Problem& problem : result.problems) ADD_FAILURE() << problem.code << ": " << problem.text;
  return result.solution.value_or(Solution{});
}

Floor only(std::vector<Block> blocks) { return {.blocks = std::move(blocks), .explore = false}; }
Floor sloping(double degrees, Toward toward) {
  return {.slope_rad = degrees * per_deg, .toward = toward, .explore = false};
}

double load(const Solution& solution, const std::string& corner) {
  for (const CornerResult& one : solution.corners)
    if (one.name == corner) return one.wheels[0].ground_load_n.value_or(std::nan(""));
  ADD_FAILURE() << "no corner " << corner;
  return 0;
}

const WheelReach& reach(const Solution& solution, const std::string& wheel) {
  static const WheelReach none;
  if (solution.floor)
    for (const WheelReach& one : solution.floor->wheels)
      if (one.wheel == wheel) return one;
  ADD_FAILURE() << "no wheel " << wheel;
  return none;
}

// ------------------------------------------------------------------------------------------------ blocks

TEST(Blocks, UnderBothFrontWheelsOfATablePitchItByTheAngleWhoseSineIsHeightOverWheelbase) {
  const Solution solution = stood(table(), only({{"front left/hub", 24}, {"front right/hub", 24}}));
  ASSERT_TRUE(solution.vehicle.has_value());
  EXPECT_NEAR(solution.vehicle->pitch_deg, -std::asin(24.0 / 160) / per_deg, 1e-9);  // nose up
  EXPECT_NEAR(solution.vehicle->roll_deg, 0, 1e-9);
}

TEST(Blocks, UnderBothLeftWheelsOfATableRollItToTheRight) {
  const Solution solution = stood(table(), only({{"front left/hub", 24}, {"rear left/hub", 24}}));
  ASSERT_TRUE(solution.vehicle.has_value());
  EXPECT_NEAR(solution.vehicle->roll_deg, std::asin(24.0 / 128) / per_deg, 1e-9);
}

TEST(Blocks, UnderOneWheelOfATableLiftTheWheelOfTheLighterCornerBeside) {
  // On the diagonal from front left to rear right it tips to the side of its mass, front right: rear left comes up.
  const Solution solution = stood(table(1, -1), only({{"front left/hub", 10}}));
  EXPECT_EQ(load(solution, "rear left"), 0);
  for (const char* name : {"front left", "front right", "rear right"}) EXPECT_GT(load(solution, name), 0.1);
}

TEST(Blocks, UnderAllWheelsRaiseEverythingByTheirHeight) {
  const std::string text = body(1000, 1, 0.5, 5) + upright({}) + four_corners("l", 10, 8) +
                           "[[clearance]]\nname = \"belly\"\nat = [0, 0, 1]\n";
  const Solution low = stood(text, only({}));
  const Solution high = stood(
      text, only({{"front left/hub", 17}, {"front right/hub", 17}, {"rear left/hub", 17}, {"rear right/hub", 17}}));
  ASSERT_TRUE(low.vehicle && high.vehicle);
  EXPECT_NEAR(high.vehicle->pitch_deg, low.vehicle->pitch_deg, 1e-10);
  EXPECT_NEAR(high.vehicle->roll_deg, low.vehicle->roll_deg, 1e-10);
  EXPECT_NEAR(high.clearances[0].height_mm, low.clearances[0].height_mm + 17, 1e-9);
  for (std::size_t c = 0; c < 4; ++c) {
    EXPECT_NEAR(*high.corners[c].ride_height_mm, *low.corners[c].ride_height_mm + 17, 1e-9);
    EXPECT_NEAR(*high.corners[c].wheels[0].ground_load_n, *low.corners[c].wheels[0].ground_load_n, of_newtons);
    EXPECT_NEAR(*high.corners[c].wheels[0].sag_mm, *low.corners[c].wheels[0].sag_mm, 1e-9);
  }
}

TEST(Blocks, MayBeDips) {  // a dip under both rear wheels is a block under both front ones, lower down
  const Solution solution = stood(table(), only({{"rear left/hub", -24}, {"rear right/hub", -24}}));
  ASSERT_TRUE(solution.vehicle.has_value());
  EXPECT_NEAR(solution.vehicle->pitch_deg, -std::asin(24.0 / 160) / per_deg, 1e-9);
}

TEST(Blocks, UnderGivingTyresSinkIntoThemAsElsewhere) {  // 1 kg on four tyres of 2 N/mm: 9.80665 / 4 / 2 mm
  Model model = on_tyres(read_rig(table()));
  for (Linkage& linkage : model.linkages)
    for (Wheel& wheel : linkage.wheels) wheel.tyre.rate_n_per_mm = 2;
  const auto height = [&](double block_mm) {
    Floor floor;
    floor.explore = false;
    for (const char* name : {"front left/hub", "front right/hub", "rear left/hub", "rear right/hub"})
      floor.blocks.push_back({name, block_mm});
    const SolveResult result = solve(model, {.floor = floor});
    return result.solution ? result.solution->vehicle->height_mm : std::nan("");
  };
  EXPECT_NEAR(height(0), 30 - 32 - g / 8, 1e-9);
  EXPECT_NEAR(height(5), 35 - 32 - g / 8, 1e-9);
}

// ------------------------------------------------------------------------------------------------ slopes

TEST(Slope, OfNothingIsLevel) {
  const std::string text = body(1000, 1, 0.5, 5) + upright({}) + four_corners("l", 10, 8);
  const Solution level = stood(text, only({})), none = stood(text, sloping(0, Toward::front));
  const Solution hardly = stood(text, sloping(1e-7, Toward::front));
  ASSERT_TRUE(level.vehicle && none.vehicle && hardly.vehicle);
  EXPECT_EQ(none.vehicle->pitch_deg, level.vehicle->pitch_deg);
  EXPECT_NEAR(hardly.vehicle->pitch_deg, level.vehicle->pitch_deg, 1e-6);
  for (std::size_t c = 0; c < 4; ++c)
    EXPECT_NEAR(*hardly.corners[c].wheels[0].ground_load_n, *level.corners[c].wheels[0].ground_load_n, 1e-7);
}

// Lateral balance of a rigid body about the lower wheels' contacts (any text on statics): the upper ones carry
// W (t/2 cos a - h sin a) / t, t the track and h the height of the centre of gravity.
TEST(Slope, SharesTheLoadOfATableBetweenItsSides) {
  const double track = 128, height = 38, a = 20 * per_deg;
  const Solution solution = stood(table(), sloping(20, Toward::left));
  const double upper = g * (track / 2 * std::cos(a) - height * std::sin(a)) / track;
  EXPECT_NEAR(load(solution, "front right") + load(solution, "rear right"), upper, of_newtons);
  EXPECT_NEAR(load(solution, "front left") + load(solution, "rear left"), g * std::cos(a) - upper, of_newtons);
}

TEST(Slope, LetsSpringsOnTheLowerSideSag) {
  const std::string text = body(1000, 0, 0, 5) + upright({}) + four_corners("l", 10, 8);
  const Solution left = stood(text, sloping(10, Toward::left)), nose = stood(text, sloping(10, Toward::front));
  ASSERT_TRUE(left.vehicle && nose.vehicle);
  EXPECT_LT(left.vehicle->roll_deg, -0.1);  // left side down
  EXPECT_GT(nose.vehicle->pitch_deg, 0.1);  // nose down
  EXPECT_NEAR(left.vehicle->pitch_deg, 0, 1e-9);
  EXPECT_NEAR(nose.vehicle->roll_deg, 0, 1e-9);
}

TEST(Slope, SaysWhereItTipsOverIfItDoesNotStand) {  // atan(64 / 38) = 59.3 degrees
  const SolveResult result = on_floor(table(), sloping(62, Toward::right));
  ASSERT_EQ(result.problems.size(), 1u);
  EXPECT_EQ(result.problems[0].code, "tips-over");
  EXPECT_EQ(result.problems[0].fault, Fault::no_solution);
  EXPECT_THAT(result.problems[0].text, HasSubstr("slope of 62 degrees with its right side downhill"));
  EXPECT_THAT(result.problems[0].text, HasSubstr("stands up to 59.2 degrees"));
}

// ------------------------------------------------------------------------------------------- how much it takes

// A rigid block on its edge: atan(half the base / height of the centre of gravity), by any text on statics.
TEST(Tilt, TipsATableAtTheAngleOfABlock) {
  const double height = (7 - 4) * 8 + 30;
  const Solution solution = stood(table(1, -2, 7), {});
  ASSERT_TRUE(solution.floor.has_value());
  ASSERT_EQ(solution.floor->tilts.size(), 4u);
  const double half_base[] = {64 + 16, 64 - 16, 80 - 8,
                              80 + 8};  // left, right, front, rear: from the mass to that side
  for (std::size_t i = 0; i < 4; ++i) {
    ASSERT_TRUE(solution.floor->tilts[i].tip_deg.has_value());
    EXPECT_NEAR(*solution.floor->tilts[i].tip_deg, std::atan(half_base[i] / height) / per_deg,
                solution.floor->tolerance_deg);
  }
}

TEST(Tilt, TipsAVehicleOnStiffSpringsAtTheAngleOfABlock) {  // its springs give a hundredth of a mm
  const Solution solution = stood(body(1000, 0, 0, 5) + upright({.rate_n_per_mm = 500}) + four_corners("l", 10, 8), {});
  ASSERT_TRUE(solution.floor.has_value());
  const double centre_mm = 80 - 64 + 32;  // of a wheel at full droop, 80 mm under its coil's seat
  const double height = 40 - centre_mm + 30;
  for (const TiltReach& tilt : solution.floor->tilts) {
    const double half_base = tilt.toward == "left" || tilt.toward == "right" ? 64 : 80;
    ASSERT_TRUE(tilt.tip_deg.has_value());
    EXPECT_NEAR(*tilt.tip_deg, std::atan(half_base / height) / per_deg, 0.02) << tilt.toward;
  }
}

TEST(Tilt, NamesTheWheelThatLiftsBeforeItTips) {
  // One rear corner sits on a spring much stiffer than the others: tilted away from it, it comes off first.
  const Solution solution =
      stood(body(1000, 0, 0, 5) + upright({}) + upright({.name = "stiff", .top = 10.5, .rate_n_per_mm = 5}) +
                corner("front left", "l", 10, 8) + corner("front right", "l", 10, -8) +
                corner("rear left", "l", -10, 8) + corner("rear right", "stiff", -10, -8),
            {});
  ASSERT_TRUE(solution.floor.has_value());
  const TiltReach& left = solution.floor->tilts[0];
  ASSERT_TRUE(left.lift_deg && left.tip_deg);
  EXPECT_LT(*left.lift_deg, *left.tip_deg);
  EXPECT_EQ(left.lifted.size(), 1u);
}

TEST(GroundReach, IsNothingUnderAWheelOfATable) {
  const Solution solution = stood(table(1, -1), {});
  const WheelReach& at_front_left = reach(solution, "front left/hub");
  EXPECT_NEAR(at_front_left.block.height_mm, 0, 1e-12);
  EXPECT_THAT(at_front_left.block.lifted, ElementsAre("rear left/hub"));  // the mass is on the right of the diagonal
  EXPECT_NEAR(at_front_left.dip.height_mm, 0, 1e-12);
}

TEST(GroundReach, HasNoEndUnderAWheelOfThree) {  // up to a wheel's height, nothing comes off
  const Solution solution = stood(body(1000, 0, 0, 5) + fixed_wheel() + corner("nose", "f", 10, 0) +
                                      corner("rear left", "f", -10, 8) + corner("rear right", "f", -10, -8),
                                  {});
  for (const char* name : {"nose/hub", "rear left/hub", "rear right/hub"}) {
    EXPECT_THAT(reach(solution, name).block.lifted, IsEmpty());
    EXPECT_FALSE(reach(solution, name).block.tips);
    EXPECT_NEAR(reach(solution, name).block.height_mm, 60, 1e-12);
    EXPECT_NEAR(reach(solution, name).dip.height_mm, -60, 1e-12);
  }
}

TEST(GroundReach, OnFourEqualSpringsIsFourTimesTheirSag) {
  // Raising one of four equal wheels by h turns the body so that h / 4 more comes on it and the one across, and as much
  // less on the others: they hang when h / 4 is their sag, 9.80665 / 4 / 0.5 mm. The base is 1600 by 1280 mm, so that the
  // turning (19.6 mm in 1280) shifts loads by less than a thousandth.
  const double sag = g / 4 / 0.5;
  const Solution solution = stood(body(1000, 0, 0, 5) + upright({}) + four_corners("l", 100, 80), {});
  for (const char* name : {"front left/hub", "front right/hub", "rear left/hub", "rear right/hub"}) {
    EXPECT_NEAR(reach(solution, name).block.height_mm, 4 * sag, 0.02);
    EXPECT_NEAR(reach(solution, name).block.travel_mm, sag, 0.01);
    EXPECT_NEAR(reach(solution, name).dip.height_mm, -4 * sag, 0.02);
    EXPECT_NEAR(reach(solution, name).dip.travel_mm, -sag, 0.01);
  }
}

TEST(GroundReach, CountsFromTheBlocksThatAreThere) {
  const std::string text = body(1000, 0, 0, 5) + upright({}) + four_corners("l", 100, 80);
  const double level = reach(stood(text, {}), "front left/hub").block.height_mm;
  const double raised = reach(stood(text, {.blocks = {{"front left/hub", 8}}}), "front left/hub").block.height_mm;
  EXPECT_NEAR(raised, level - 8, 2e-3);  // two tolerances
}

// A vehicle followed there by small steps, and the same let down there: all wheels carry a hundredth short of the edge, not all
// of them a hundredth past it.
TEST(GroundReach, EndsWhereAVehicleLetDownThereLosesAWheel) {
  for (const char* name : {"quarry-hauler", "scout-car"}) {
    const Model model = demo(name);
    const auto wheels_off = [&](Floor floor) {
      floor.explore = false;
      const SolveResult result = solve(model, {.curve_points = 2, .other_stances = false, .floor = std::move(floor)});
      if (!result.solution) return 99;
      int off = 0;
      for (const CornerResult& corner : result.solution->corners) off += corner.wheels[0].state == WheelState::lifted;
      return off;
    };
    const SolveResult explored = solve(model, {.curve_points = 2, .other_stances = false, .floor = Floor{}});
    ASSERT_TRUE(explored.solution && explored.solution->floor);
    for (const WheelReach& wheel : explored.solution->floor->wheels)
      for (const GroundReach* end : {&wheel.block, &wheel.dip}) {
        const double sense = end == &wheel.block ? 1 : -1;
        EXPECT_EQ(wheels_off({.blocks = {{wheel.wheel, end->height_mm - 0.01 * sense}}}), 0)
            << name << " " << wheel.wheel;
        EXPECT_EQ(wheels_off({.blocks = {{wheel.wheel, end->height_mm + 0.01 * sense}}}), 1)
            << name << " " << wheel.wheel;
      }
    const Toward sides[] = {Toward::left, Toward::right, Toward::front, Toward::rear};
    for (std::size_t i = 0; i < 4; ++i) {
      const TiltReach& tilt = explored.solution->floor->tilts[i];
      ASSERT_TRUE(tilt.tip_deg.has_value());
      EXPECT_LT(wheels_off(sloping(*tilt.tip_deg - 0.01, sides[i])), 4) << name << " " << tilt.toward;
      EXPECT_EQ(wheels_off(sloping(*tilt.tip_deg + 0.01, sides[i])), 99) << name << " " << tilt.toward;
      const double first = tilt.lift_deg.value_or(*tilt.tip_deg);
      EXPECT_EQ(wheels_off(sloping(first - 0.01, sides[i])), 0) << name << " " << tilt.toward;
    }
  }
}

// --------------------------------------------------------------------------------------------------- refusals

TEST(Floor, RefusesAWheelThatIsNotThereAndNamesTheNearest) {
  const SolveResult result = on_floor(table(), only({{"frnt left/hub", 3}, {"rear left", 3}, {"wing/hub", 3}}));
  ASSERT_EQ(result.problems.size(), 3u);
  EXPECT_FALSE(result.solution.has_value());
  EXPECT_EQ(result.problems[0].code, "unknown-name");
  EXPECT_EQ(result.problems[0].hint, "did you mean 'front left/hub'?");
  EXPECT_EQ(result.problems[1].hint, "did you mean 'rear left/hub'?");
  EXPECT_EQ(result.problems[2].hint,
            "its wheels: 'front left/hub', 'front right/hub', 'rear left/hub', 'rear right/hub'");
}

TEST(Floor, RefusesTheBench) {
  const SolveResult result = on_floor(on_bench(upright({}), 3), only({}));
  ASSERT_EQ(result.problems.size(), 1u);
  EXPECT_EQ(result.problems[0].code, "no-vehicle");
  EXPECT_EQ(result.problems[0].fault, Fault::text);
}

TEST(Floor, SaysThatNothingStandsOnBlocksTooHigh) {
  const SolveResult result = on_floor(table(0, 0, 7), only({{"front left/hub", 158}, {"front right/hub", 158}}));
  ASSERT_EQ(result.problems.size(), 1u);
  EXPECT_EQ(result.problems[0].code, "tips-over");
  EXPECT_EQ(result.problems[0].fault, Fault::no_solution);
}

TEST(Floor, SaysWhereTyresSlide) {  // atan(0.8) = 38.66 degrees
  const Solution solution = stood(table() + "[friction]\ntyre_mu = 0.8\n", only({}));
  ASSERT_TRUE(solution.floor && solution.floor->slide_deg);
  EXPECT_NEAR(*solution.floor->slide_deg, std::atan(0.8) / per_deg, 1e-12);
}

}  // namespace
}  // namespace ridepitch
