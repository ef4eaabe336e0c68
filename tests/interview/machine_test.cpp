// From answers to a machine that stands.

#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <fstream>
#include <iterator>
#include <set>

#include "interview/answered.hpp"
#include "interview/remarks.hpp"
#include "interview/sections.hpp"
#include "rigs/files.hpp"
#include "rigs/rest.hpp"

namespace ridepitch {
namespace {

using testing::HasSubstr;
using testing::IsEmpty;
using testing::Not;

constexpr double g = 9.80665;  // standard gravity, m/s2

double grams(std::optional<double> force_n) { return force_n.value_or(0) / g * 1000; }

std::vector<std::string> kind_names() {
  std::vector<std::string> names;
  for (const Choice& kind : axle_kinds()) names.push_back(kind.name);
  return names;
}

// ------------------------------------------------------------------------- every machine that can be asked for

TEST(Machine, OfEveryKindStandsWithTheUsualAnswers) {
  for (const std::string& kind : kind_names()) {
    SCOPED_TRACE(kind);
    const Solution solution = solved(model_of(answered("front_kind = " + kind)));
    ASSERT_TRUE(solution.vehicle);
    for (const Finding& finding : solution.findings) {
      EXPECT_NE(finding.level, Level::problem) << finding.code << ": " << finding.text;
    }
    for (const CornerResult& corner : solution.corners) {
      for (const WheelResult& wheel : corner.wheels) EXPECT_EQ(wheel.state, WheelState::riding) << corner.name;
    }
  }
}

TEST(Machine, OfAnyTwoKindsStands) {
  for (const std::string& front : kind_names()) {
    for (const std::string& rear : kind_names()) {
      SCOPED_TRACE(front + " and " + rear);
      EXPECT_TRUE(solved(model_of(answered(fmt::format("front_kind = {}\nrear_kind = {}", front, rear)))).vehicle);
    }
  }
}

TEST(Machine, WithThreeAxlesStands) {
  const Solution solution = solved(model_of(
      answered("axles = 3\nfront_kind = arm\nmiddle_kind = beam\nmiddle_beam_on = frame\nmiddle_from_front = 20\n"
               "rear_kind = same\nrear_from_front = 40")));
  EXPECT_EQ(solution.corners.size(), 6u);
  EXPECT_EQ(solution.corners[2].wheels.size(), 2u);
}

TEST(Machine, OnOnePivotStandsIfTheOtherAxleHoldsItUpright) {
  EXPECT_TRUE(solved(model_of(answered("front_kind = live-axle\nfront_held = pivot\nrear_kind = arm"))).vehicle);
}

TEST(Machine, IsWrittenTidily) {
  for (const std::string& kind : kind_names()) {
    for (const TextLine& line : model_lines(answered("front_kind = " + kind + "\nname = \"5 \\ 2\""))) {
      EXPECT_LE(line.text.size(), 120u) << line.text;
      EXPECT_THAT(line.text, Not(HasSubstr("\n")));
      EXPECT_FALSE(line.text.ends_with(" ")) << line.text;
    }
  }
  const std::string text = joined_lines(model_lines(answered("front_kind = arm-rocker")));
  for (const char* used : {"[[weighed]]", "mirror = true", "[sprung]", "flip = true", "# "})
    EXPECT_THAT(text, HasSubstr(used));
  EXPECT_EQ(model_of(answered("name = \"5 \\ 2\"")).name, "5 \\ 2");
}

// ------------------------------------------------------------------------------ measured on real machines

/// A demo model with what a builder would read off it: the scale to a gram, the ruler to half a millimetre.
struct Measured {
  Model model;
  Solution solution;

  explicit Measured(const std::string& name) {
    model = ridepitch::demo(name);
    solution = solved(model);
  }
  double scale_g(std::string_view axle) const {
    double sum = 0;
    for (const CornerResult& corner : solution.corners) {
      if (!corner.name.starts_with(axle)) continue;
      for (const WheelResult& wheel : corner.wheels) sum += grams(wheel.ground_load_n);
    }
    return std::round(sum);
  }
};

/// The stance that answers give is that of the demo: heights to 0.5 mm, scale readings to 10 g (the project's own aim).
void expect_same_stance(const Measured& demo, const Solution& made) {
  ASSERT_EQ(made.corners.size(), demo.solution.corners.size());
  for (std::size_t c = 0; c < made.corners.size(); ++c) {
    const CornerResult &mine = made.corners[c], &real = demo.solution.corners[c];
    ASSERT_EQ(mine.name, real.name);
    EXPECT_NEAR(mine.ride_height_mm.value(), real.ride_height_mm.value(), 0.5) << mine.name;
    ASSERT_EQ(mine.wheels.size(), real.wheels.size());
    for (std::size_t w = 0; w < mine.wheels.size(); ++w) {
      EXPECT_NEAR(grams(mine.wheels[w].ground_load_n), grams(real.wheels[w].ground_load_n), 10) << mine.name;
      EXPECT_NEAR(mine.wheels[w].sag_mm.value(), real.wheels[w].sag_mm.value(), 0.5) << mine.name;
    }
  }
  EXPECT_NEAR(made.vehicle->pitch_deg, demo.solution.vehicle->pitch_deg, 0.2);
}

TEST(Machine, MeasuredOnTheQuarryHaulerStandsAsItDoes) {
  const Measured demo("quarry-hauler");
  const Answers answers = answered(text_of(source_path("models/quarry-hauler.answers")));
  // What the file says the scale reads is what it reads under the demo, to a gram.
  EXPECT_EQ(number_of(answers, "front_scale_g"), demo.scale_g("front"));
  EXPECT_EQ(number_of(answers, "rear_scale_g"), demo.scale_g("rear"));
  // Its catalogue says of the coil: 56 and 40 mm long, 0.62 N/mm, 1 N preload. Pressed onto a scale that is
  // 1 N / g = 102 g to begin with and (1 + 0.62 * 16) N / g = 1113.5 g when solid.
  EXPECT_NEAR(number_of(answers, "front_coil_start_g").value(), 1.0 / g * 1000, 0.5);
  EXPECT_NEAR(number_of(answers, "front_coil_solid_g").value(), 10.92 / g * 1000, 0.5);
  expect_same_stance(demo, solved(model_of(answers)));
}

TEST(Machine, MeasuredOnTheTimberForwarderStandsAsItDoes) {
  const Measured demo("timber-forwarder");
  const Answers answers = answered(fmt::format(R"(
front_kind = arm
front_points = back
front_seat = 5 8
front_coil = coil-95-firm
rear_kind = beam
rear_from_front = 42
rear_above_front = -0.5
rear_seat = 3 5
rear_coil = coil-65-firm
rear_wheel_g = 25
front_scale_g = {}
rear_scale_g = {}
weight_above = 2.5
)",
                                               demo.scale_g("front"), demo.scale_g("rear")));
  const Solution made = solved(model_of(answers));
  ASSERT_EQ(made.corners.size(), 4u);
  for (std::size_t c = 0; c < 4; ++c) {
    const CornerResult &mine = made.corners[c], &real = demo.solution.corners[c];
    EXPECT_NEAR(mine.ride_height_mm.value(), real.ride_height_mm.value(), 0.5) << mine.name;
    EXPECT_NEAR(grams(mine.wheels[0].ground_load_n), grams(real.wheels[0].ground_load_n), 10) << mine.name;
  }
}

// ------------------------------------------------------------------------------------------- weights

TEST(Machine, ReadingsOfBothAxlesAreWhatItCarriesThere) {
  const Solution solution = solved(model_of(answered("front_scale_g = 1400\nrear_scale_g = 1100")));
  // Where both sides are alike an axle's computed ground load is its reading: docs/model-format.md, "Weighings".
  EXPECT_NEAR(grams(solution.corners[0].wheels[0].ground_load_n), 700, 1e-6);
  EXPECT_NEAR(grams(solution.corners[2].wheels[0].ground_load_n), 550, 1e-6);
}

TEST(Machine, WeighedBySidesLeansToTheHeavierOne) {
  const Solution solution = solved(model_of(answered("front_scale_g = 640 700\nrear_scale_g = 620, 680")));
  EXPECT_GT(solution.vehicle->roll_deg, 0.1);  // right side down
  double left = 0, right = 0;
  for (const CornerResult& corner : solution.corners) {
    (corner.name.ends_with("left") ? left : right) += grams(corner.wheels[0].ground_load_n);
  }
  EXPECT_NEAR(left, 640 + 620, 1e-6);
  EXPECT_NEAR(right, 700 + 680, 1e-6);
}

// The lever in balance (Archimedes, On the Equilibrium of Planes, I.6): arms of 4 and 6 share what is carried 6 to 4. Each
// wheel adds its own 40 g of tyre and 30 g of hub. One side's 800 g: 660 g carried, 396 and 264 g.
TEST(Machine, AWalkingBeamOfUnequalArmsIsWeighedAsALever) {
  const Model model =
      model_of(answered("rear_kind = beam\nrear_beam_wheels = 4 6\nfront_scale_g = 650 650\n"
                        "rear_scale_g = 800 800\nrear_tyre = tyre-69\nrear_wheel_g = 30"));
  ASSERT_EQ(model.weighed.size(), 6u);
  EXPECT_NEAR(model.weighed[2].kg * 1000, 396 + 70, 1e-6);
  EXPECT_NEAR(model.weighed[3].kg * 1000, 264 + 70, 1e-6);
}

// Hooke's law through two readings, in newtons: (1000 - 200) g over 16 mm is 0.4903325 N/mm, 200 g are 1.96133 N.
TEST(Machine, AnOwnCoilComesFromItsTwoReadings) {
  const Model model =
      model_of(answered("front_coil = own\nfront_coil_free_mm = 76\nfront_coil_solid_mm = 60\n"
                        "front_coil_start_g = 200\nfront_coil_solid_g = 1000"));
  const Coil& coil = std::get<Coil>(model.linkages[0].springs[0].data);
  EXPECT_NEAR(coil.rate_n_per_mm, 0.4903325, 1e-6);
  EXPECT_NEAR(coil.preload_n, 1.96133, 1e-6);
}

TEST(Machine, CountsHolesOfAnyPitch) {
  const Model model =
      model_of(answered("hole_pitch_mm = 10\nfront_track_mm = 150\nrear_from_front = 21\nbody_mm = 300 120 90"));
  EXPECT_EQ(model.module_mm, 10);
  EXPECT_NEAR(model.corners[0].at_mm.y(), 75, 1e-9);
  EXPECT_NEAR(model.corners[0].at_mm.x() - model.corners[2].at_mm.x(), 210, 1e-9);
  EXPECT_NEAR((model.sprung->size_mm.value() - Vec3(300, 120, 90)).norm(), 0, 1e-4);  // written to 6 decimals
}

// ------------------------------------------------------------------------------------------- remarks

TEST(Remarks, TellTheWheelbaseBesideTheRuler) {
  const Answers answers = answered("wheelbase_mm = 300");
  const Model model = model_of(answers);
  const Solution solution = solved(model);
  // Two level arms of 8 holes, pins 20 holes apart, pointing outwards: 36 holes of 8 mm are 288 mm.
  EXPECT_NEAR(solved_wheelbase_mm(solution), 288, 2);
  const std::vector<std::string> said = remarks(answers, model, solution, {});
  ASSERT_EQ(said.size(), 1u);
  EXPECT_THAT(said[0], HasSubstr("your ruler says 300.0 mm"));
  EXPECT_THAT(said[0], HasSubstr("count again"));
}

TEST(Remarks, TellReadingsThatTheseSpringsCannotGive) {
  // The diagonals disagree: one stiff body on four equal springs shares the weight by moments alone.
  const Answers twisted = answered("front_scale_g = 700 600\nrear_scale_g = 600 700");
  const Model model = model_of(twisted);
  EXPECT_THAT(remarks(twisted, model, solved(model), {}),
              testing::Contains(HasSubstr("front left/hub 700 g, worked out 650 g")));
  const Answers straight = answered("front_scale_g = 700 600\nrear_scale_g = 700 600");
  EXPECT_THAT(remarks(straight, model_of(straight), solved(model_of(straight)), {}), IsEmpty());
}

TEST(FileName, IsMadeOfLettersDigitsAndHyphens) {
  EXPECT_EQ(file_name_for("Quarry hauler"), "quarry-hauler.toml");
  EXPECT_EQ(file_name_for("../../etc/passwd"), "etc-passwd.toml");
  EXPECT_EQ(file_name_for("Nr. 5 (b)"), "nr-5-b.toml");
  EXPECT_EQ(file_name_for("\xc3\x84"), "model.toml");
}

}  // namespace
}  // namespace ridepitch
