#include "model/tune.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "model/model_files.hpp"
#include "rigs/models.hpp"

namespace ridepitch {
namespace {

struct TuneOfEverything : testing::Test {  // tests/model/good/everything.toml, where a module is 10 mm
  const Model model = read_file("tests/model/good/everything.toml");
  const Tune tune = model.tune ? *model.tune : Tune{};
};

TEST_F(TuneOfEverything, SaysWhatItIsFor) {
  EXPECT_EQ(tune.corner, 2);
  EXPECT_TRUE(tune.keep_parts);
}

TEST_F(TuneOfEverything, ARangeIsWrittenOutWithUFastest) {
  ASSERT_EQ(tune.vary.size(), 4u);
  EXPECT_EQ(tune.vary[0].linkage, 0);
  const auto& vary = std::get<VaryHole>(tune.vary[0].what);
  EXPECT_EQ(vary.body, chassis);
  EXPECT_EQ(vary.hole, 1);
  // u = 0, 0.5, 1; v = 4, 4.5, 5: a whole step more would pass 5.25.
  const std::vector<Vec2> expected = {{0, 40},  {5, 40}, {10, 40}, {0, 45}, {5, 45},
                                      {10, 45}, {0, 50}, {5, 50},  {10, 50}};
  ASSERT_EQ(vary.at_mm.size(), expected.size());
  for (std::size_t i = 0; i < expected.size(); ++i) EXPECT_NEAR((vary.at_mm[i] - expected[i]).norm(), 0, exact) << i;
}

TEST_F(TuneOfEverything, ListsAreTakenAsTheyAre) {
  EXPECT_EQ(tune.vary[1].linkage, 1);
  const auto& hole = std::get<VaryHole>(tune.vary[1].what);
  ASSERT_EQ(hole.at_mm.size(), 2u);
  EXPECT_NEAR((hole.at_mm[1] - Vec2(-50, 90)).norm(), 0, exact);
  EXPECT_EQ(std::get<VaryRod>(tune.vary[2].what).length_mm, (std::vector<double>{50, 60, 75}));
  const auto& spring = std::get<VarySpring>(tune.vary[3].what);
  EXPECT_EQ(spring.spring, 0);
  EXPECT_EQ(spring.parts, (std::vector<std::string>{"coil-a", "coil-b"}));
  EXPECT_EQ(spring.counts, (std::vector<int>{1, 2}));
}

TEST_F(TuneOfEverything, WantsAndNeedsKeepTheirOrder) {
  ASSERT_EQ(tune.wants.size(), 3u);
  EXPECT_EQ(tune.wants[0].quantity, "wheel_rate_n_per_mm");
  EXPECT_EQ(tune.wants[0].of, "rear left/hub");
  EXPECT_EQ(tune.wants[0].value, 0.48);
  EXPECT_EQ(tune.wants[0].tolerance, 0.02);
  EXPECT_EQ(tune.wants[0].weight, 2);
  EXPECT_EQ(tune.wants[1].of, "rear left/main");
  EXPECT_EQ(tune.wants[1].value, std::nullopt);
  EXPECT_EQ(tune.wants[2].of, "belly");
  ASSERT_EQ(tune.needs.size(), 2u);
  EXPECT_EQ(tune.needs[0].quantity, "bump_travel_mm");
  EXPECT_EQ(tune.needs[0].least, 8);
  EXPECT_EQ(tune.needs[0].most, std::nullopt);
  EXPECT_EQ(tune.needs[1].most, 30);
}

TEST(Tune, StepsThatAreNoBinaryNumbersStillReachTheirEnd) {
  const ReadModel read = read_small_model_with(
      "[tune]\ncorner = \"rear left\"\n[[tune.vary]]\nhole = \"chassis.arm\"\nu = [0, 0.3]\nv = [0, 0]\nstep = 0.1\n");
  ASSERT_TRUE(read.model) << read.problems.at(0).text;
  const auto& vary = std::get<VaryHole>(read.model->tune->vary.at(0).what);
  ASSERT_EQ(vary.at_mm.size(), 4u);
  EXPECT_NEAR(vary.at_mm[3].x(), 2.4, exact);  // 0.3 modules of 8 mm
}

TEST(Tune, EveryQuantityOfTheFormatIsKnown) {
  const char* const of_corners[] = {
      "wheel_rate_n_per_mm", "motion_ratio",    "sag_mm",   "ride_height_mm",      "bump_travel_mm",
      "droop_travel_mm",     "bump_load_n",     "reserve",  "frequency_hz",        "spring_force_n",
      "toggle_margin_deg",   "coil_margin_deg", "lock_deg", "ackermann_error_deg", "turn_radius_mm",
      "bump_steer_deg"};
  const char* const others[] = {"clearance_mm", "pitch_deg", "roll_deg", "holes_changed"};
  std::string text = "[tune]\n";
  for (const char* const name : of_corners)
    text += "[[tune.need]]\nquantity = \"" + std::string(name) + "\"\nof = \"rear left\"\nleast = 1\n";
  for (const char* const name : others) text += "[[tune.need]]\nquantity = \"" + std::string(name) + "\"\nleast = 1\n";
  const ReadModel read = read_small_model_with(text);
  ASSERT_TRUE(read.model) << read.problems.at(0).text;
  EXPECT_EQ(read.model->tune->needs.size(), 20u);
}

TEST(Tune, IsAbsentWhereTheFileHasNone) {
  const ReadModel read = read_text(small_model);
  ASSERT_TRUE(read.model);
  EXPECT_EQ(read.model->tune, nullptr);
}

}  // namespace
}  // namespace ridepitch
