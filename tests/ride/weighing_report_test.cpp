// What scale readings are worth. Expected: moments about a support (the lever balance; any statics text, e.g. Meriam and
// Kraige, Statics, ch. 3, from memory) and propagation of independent errors, the root of the sum of squares (JCGM 100:2008, 5.1.2).

#include "ride/measured.hpp"

#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <random>

#include "rigs/files.hpp"
#include "rigs/models.hpp"
#include "rigs/rest.hpp"
#include "rigs/texts.hpp"
#include "rigs/units.hpp"

namespace ridepitch {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;

std::string weighed(const std::vector<std::pair<std::string, double>>& readings, const std::string& more = "") {
  std::string text = "format = 1\nname = \"weighed\"\n";
  for (const auto& [wheels, grams] : readings)
    text += fmt::format("[[weighed]]\nwheels = [{}]\ngrams = {}\n{}", wheels, grams, more);
  return text + "[sprung]\ncg_height = 5\nsize = [20, 10, 6]\n";
}

/// A wheel at a hole of the chassis, so that it stands where it stands.
const std::string fixed = fixed_wheel("l");

std::vector<std::string> codes(const Solution& solution) {
  std::vector<std::string> all;
  for (const Finding& finding : solution.findings) all.push_back(finding.code);
  return all;
}

bool has(const Solution& solution, const std::string& code) {
  const auto all = codes(solution);
  return std::find(all.begin(), all.end(), code) != all.end();
}

TEST(Weighing, OfAThreeWheelerIsTheLeverAndItsErrors) {
  // 500 g at x = 80 mm, y = 0; 300 and 400 g at x = -160 mm, y = 64 and -64 mm. Rigid, without weight of their own.
  const std::string model = weighed({{"\"nose/hub\"", 500}, {"\"left/hub\"", 300}, {"\"right/hub\"", 400}}) + fixed +
                            corner("nose", "l", 10, 0) + corner("left", "l", -20, 8) + corner("right", "l", -20, -8);
  const Solution solution = rested(model);
  const double total = 1200, x = (500 * 80 - 700 * 160) / total, y = (300 - 400) * 64 / total;
  EXPECT_NEAR(solution.vehicle->mass_kg, 1.2, 1e-12);
  EXPECT_NEAR(solution.vehicle->cg_mm.x(), x, 1e-9);
  EXPECT_NEAR(solution.vehicle->cg_mm.y(), y, 1e-9);

  // A reading that is 5 g off moves the centre by 5 (x_i - x) / (total + 5); a place that is 1 mm off by m_i / total.
  double square_x = 0, square_y = 0;
  for (const auto& [grams, at_x, at_y] :
       {std::tuple{500.0, 80.0, 0.0}, {300.0, -160.0, 64.0}, {400.0, -160.0, -64.0}}) {
    square_x += std::pow(5 * (at_x - x) / (total + 5), 2) + std::pow(grams / total, 2);
    square_y += std::pow(5 * (at_y - y) / (total + 5), 2) + std::pow(grams / total, 2);
  }
  ASSERT_TRUE(solution.weighing);
  EXPECT_NEAR(solution.weighing->mass_within_kg, 0.005 * std::sqrt(3), 1e-12);
  EXPECT_NEAR(solution.weighing->cg_x_within_mm, std::sqrt(square_x), 1e-6);
  EXPECT_NEAR(*solution.weighing->cg_y_within_mm, std::sqrt(square_y), 1e-6);
  EXPECT_NEAR(solution.weighing->pitch_within_deg, 0, 1e-9);
  EXPECT_FALSE(has(solution, "readings-disagree"));
}

TEST(Weighing, ABetterScaleAndAxlesWeighedWholeAreTakenAsSuch) {
  const std::string three =
      fixed + corner("nose", "l", 10, 0) + corner("left", "l", -20, 8) + corner("right", "l", -20, -8);
  const auto readings =
      std::vector<std::pair<std::string, double>>{{"\"nose/hub\"", 500}, {"\"left/hub\", \"right/hub\"", 700}};
  const Solution fine = rested(weighed(readings, "within_g = 0.5\n") + three);
  EXPECT_NEAR(fine.weighing->mass_within_kg, 0.0005 * std::sqrt(2), 1e-12);
  EXPECT_FALSE(fine.weighing->cg_y_within_mm) << "nothing tells y";
  EXPECT_TRUE(fine.weighing->height_known);
  EXPECT_THAT(fine.weighing->readings[1].wheels, ElementsAre("left/hub", "right/hub"));
}

/// Four uprights of 0.5 N/mm at (+-80, +-64) mm, each wheel weighed by itself.
Solution four_posts(const std::vector<double>& grams, const std::string& more = "") {
  return rested(weighed({{"\"front left/hub\"", grams[0]},
                         {"\"front right/hub\"", grams[1]},
                         {"\"rear left/hub\"", grams[2]},
                         {"\"rear right/hub\"", grams[3]}},
                        more) +
                upright({}) + four_corners("l", 10, 8));
}

TEST(Weighing, AWarpOfTheReadingsCanNotBeWhatTheSpringsCarry) {
  // Four equal springs carry no warp a - b - c + d: of every reading a quarter of it is left over.
  const Solution solution = four_posts({560, 480, 470, 490});
  const double quarter_g = (560 - 480 - 470 + 490) / 4.0;
  const std::vector<double> read = {560, 480, 470, 490}, sign = {1, -1, -1, 1};
  for (std::size_t i = 0; i < 4; ++i) {
    const WeighedReading& reading = solution.weighing->readings[i];
    EXPECT_NEAR(reading.computed_kg * 1000, read[i] - sign[i] * quarter_g, 0.05) << i;  // level but for 0.02 degrees
  }
}

TEST(Weighing, ReadingsMayDifferByWhatTheirErrorsMakeOfTheWarp) {
  const Solution solution = four_posts({500, 500, 500, 500});
  // Each reading's 5 g leave 5/4 g; each block's millimetre makes a quarter of 0.5 N, at every wheel. Four of each. Places
  // matter little: a millimetre of 80.
  const double readings_g = 2 * 5 / 4.0, blocks_g = 2 * 0.5 / 4 / n_per_gram;
  for (const WeighedReading& reading : solution.weighing->readings)
    EXPECT_NEAR(reading.may_differ_kg * 1000, std::hypot(readings_g, blocks_g), 0.02 * blocks_g);
}

TEST(Weighing, NoiseIsNotTakenForAContradiction) {
  std::mt19937 random(5);  // NOLINT: repeatable on purpose
  std::uniform_real_distribution<double> noise(-5, 5);
  for (int round = 0; round < 20; ++round) {
    const Solution solution =
        four_posts({560 + noise(random), 480 + noise(random), 520 + noise(random), 440 + noise(random)});
    EXPECT_FALSE(has(solution, "readings-disagree"));
  }
}

TEST(Weighing, AMisreadScaleIsTold) {
  for (std::size_t wheel = 0; wheel < 4; ++wheel) {
    std::vector<double> grams = {560, 480, 520, 440};
    grams[wheel] += 200;  // a quarter of it, 50 g, is over the 26 g that errors make
    const Solution solution = four_posts(grams);
    ASSERT_TRUE(has(solution, "readings-disagree")) << wheel;
    const auto finding = std::find_if(solution.findings.begin(), solution.findings.end(),
                                      [](const Finding& each) { return each.code == "readings-disagree"; });
    EXPECT_EQ(finding->level, Level::warning);
    EXPECT_THAT(finding->text, HasSubstr("up to 50 g apart, over the 26 g"));
    EXPECT_NE(finding->remedy, "");
  }
  EXPECT_FALSE(has(four_posts({760, 480, 520, 440}, "within_g = 100\n"), "readings-disagree"))
      << "so bad a scale may err";
}

/// The wheels at which a reading is doubted.
std::vector<std::string> doubted(const Solution& solution) {
  std::vector<std::string> where;
  for (const Finding& finding : solution.findings)
    if (finding.code == "reading-doubtful") where.push_back(finding.where);
  return where;
}

TEST(Weighing, ALostOrDoubledDigitIsAskedAgain) {
  const Solution lost = four_posts({560, 480, 520, 44});
  EXPECT_THAT(doubted(lost), ElementsAre("rear right/hub"));
  EXPECT_THAT(lost.findings, testing::Contains(testing::Field(&Finding::remedy, HasSubstr("was it 440 g?"))));
  EXPECT_THAT(doubted(four_posts({560, 480, 520, 440})), ElementsAre());
  EXPECT_THAT(doubted(four_posts({560, 480, 160, 140})), ElementsAre()) << "a light tail is no slip";
}

TEST(Weighing, AReadingUnderWhatItsWheelsWeighIsAskedAgain) {
  // 132 g typed for 1320; each of the two wheels is 74 g, and 30 g of what its arm carries.
  std::string text = text_of(source_path("tests/ride/models/absurd-causes.toml"));
  text.replace(text.find("grams = 1320"), 12, "grams = 132");
  const Solution solution = solved(read_rig(text));
  EXPECT_THAT(doubted(solution), ElementsAre("rear left/hub, rear right/hub"));
  EXPECT_TRUE(solution.causes.empty()) << "first the mass must be right";
  EXPECT_THAT(solution.findings, testing::Contains(testing::Field(
                                     &Finding::text, HasSubstr("less than these wheels weigh by themselves: 208 g"))));
}

TEST(Weighing, ALeaningVehicleIsNoContradiction) {
  // Heavier on the left, and in front: 600 + 300 = 500 + 400, so no warp.
  EXPECT_FALSE(has(four_posts({600, 400, 500, 300}), "readings-disagree"));
}

TEST(Weighing, LoadsThatStaticsCanNotTellContradictNothing) {
  const std::string model = weighed({{"\"front left/hub\"", 900},
                                     {"\"front right/hub\"", 100},
                                     {"\"rear left/hub\"", 100},
                                     {"\"rear right/hub\"", 900}}) +
                            fixed + four_corners("l", 10, 8);
  const Solution solution = rested(model);
  EXPECT_TRUE(solution.vehicle->indeterminate);
  EXPECT_FALSE(has(solution, "readings-disagree"));
}

TEST(Weighing, WheelsBehindEachOtherUnderOneReadingAreTold) {
  const Solution sides = rested(
      weighed({{"\"front left/hub\", \"rear left/hub\"", 1000}, {"\"front right/hub\", \"rear right/hub\"", 1000}}) +
      upright({}) + four_corners("l", 10, 8));
  EXPECT_EQ(std::ranges::count(codes(sides), "weighed-together"), 2);
  const Solution axles = rested(
      weighed({{"\"front left/hub\", \"front right/hub\"", 1000}, {"\"rear left/hub\", \"rear right/hub\"", 1000}}) +
      upright({}) + four_corners("l", 10, 8));
  EXPECT_EQ(std::ranges::count(codes(axles), "weighed-together"), 0);
}

TEST(Weighing, IsLeftOutWhereItIsNotAskedFor) {
  const Model model =
      on_tyres(read_rig(weighed({{"\"nose/hub\"", 500}, {"\"left/hub\"", 300}, {"\"right/hub\"", 400}}) + fixed +
                        corner("nose", "l", 10, 0) + corner("left", "l", -20, 8) + corner("right", "l", -20, -8)));
  EXPECT_FALSE(solve(model, {.readings = false}).solution->weighing);
  EXPECT_FALSE(rested(body(1200, 0, 0, 5) + upright({}) + four_corners("l", 10, 8)).weighing);
}

}  // namespace
}  // namespace ridepitch
