// Ruler readings beside computed heights. Expected: closed forms of a body on four upright coils, where a wheel's travel is
// its coil's: the coil stands at L = free - (load - preload) / rate, and the body as much lower as it is shorter.

#include "ride/measured.hpp"

#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>

#include "model/read.hpp"
#include "rigs/models.hpp"
#include "rigs/rest.hpp"
#include "rigs/texts.hpp"
#include "rigs/units.hpp"

namespace ridepitch {
namespace {

std::string measured(const std::string& corner, double height_mm, const std::string& more = "") {
  return fmt::format("[[measured]]\nof = \"{}\"\nride_height_mm = {}\n{}", corner, height_mm, more);
}

/// 2000 g in the middle of four coils of 0.5 N/mm: 4.903 N on each, 9.807 mm; the seat 56 mm above the guide, the
/// tyre 60 mm. So a corner's place stands 64 - 9.807 - 56 + 30 mm over the wheel's contact.
std::string posts(const std::string& more, double y_centre = 0, double x_centre = 0) {
  return body(2000, x_centre, y_centre, 5) + more + upright({.top = 7}) + four_corners("l", 10, 8);
}

const double half_kilogram_n = 500 * n_per_gram;
const double height_mm = 64 - half_kilogram_n / 0.5 - 56 + 30;

const LikelyCause* find(const Solution& solution, const std::string& code) {
  for (const LikelyCause& cause : solution.causes) {
    if (cause.code == code) return &cause;
  }
  return nullptr;
}

bool noted(const Solution& solution, const std::string& where) {
  return std::any_of(solution.findings.begin(), solution.findings.end(), [&](const Finding& finding) {
    return finding.code == "measured-differs" && finding.where == where;
  });
}

TEST(Measured, StandsBesideTheComputedHeight) {
  const Solution solution = rested(posts(measured("rear left", height_mm + 0.4)));
  ASSERT_EQ(solution.measured.size(), 1u);
  EXPECT_EQ(solution.measured[0].corner, 2);
  EXPECT_NEAR(solution.measured[0].computed_mm, height_mm, 1e-9);
  EXPECT_NEAR(solution.measured[0].measured_mm, height_mm + 0.4, 1e-9);
  EXPECT_TRUE(solution.causes.empty()) << "0.4 mm is within what a ruler tells";
  EXPECT_FALSE(noted(solution, "rear left"));
}

TEST(Measured, BeginsToDifferJustBeyondWhatTheRulerMayBeOff) {
  EXPECT_FALSE(differs({.corner = 0, .measured_mm = 40, .within_mm = 1, .computed_mm = 41, .friction_mm = {}}));
  EXPECT_TRUE(differs({.corner = 0, .measured_mm = 40, .within_mm = 1, .computed_mm = 41.001, .friction_mm = {}}));
  EXPECT_TRUE(noted(rested(posts(measured("rear left", height_mm + 0.4, "within_mm = 0.3\n"))), "rear left"));
}

/// All four corners measured 2 mm lower than computed.
Solution low() {
  std::string all = "[spread]\ncoil_length_mm = 0.8\n";
  for (const char* corner : {"front left", "front right", "rear left", "rear right"})
    all += measured(corner, height_mm - 2);
  return rested(posts(all));
}

TEST(LikelyCauses, NeedWhatTheClosedFormSays) {
  const Solution solution = low();
  const LikelyCause* free_length = find(solution, "free-length");
  ASSERT_TRUE(free_length);
  EXPECT_NEAR(free_length->amount, -2, 1e-3);  // the body sinks as much as the coil is shorter
  EXPECT_NEAR(free_length->size, 2 / 0.8, 1e-3);
  EXPECT_NEAR(free_length->leaves_mm, 0, 1e-3);
  const LikelyCause* tyre = find(solution, "tyre");
  ASSERT_TRUE(tyre);
  EXPECT_NEAR(tyre->amount, -4, 1e-3);  // of diameter
  const LikelyCause* rate = find(solution, "rate");
  ASSERT_TRUE(rate);
  // The coil is then squeezed 2 mm more by the same load: rate' / rate = 9.807 / 11.807. Its deviation is that of the
  // batch and of the part, 4 and 6 %.
  const double squeezed = half_kilogram_n / 0.5, percent = 100 * (squeezed / (squeezed + 2) - 1);
  EXPECT_NEAR(rate->amount, percent, 0.05);
  EXPECT_NEAR(rate->size, -percent / std::sqrt(16.0 + 36.0), 0.01);
  const LikelyCause* mass = find(solution, "mass");
  EXPECT_EQ(mass, nullptr) << "408 g more, 4 * 0.5 * 2 N, are 6.8 times the 3 % by which 2000 g are off";
}

TEST(LikelyCauses, StandInTheOrderOfTheirLikelihood) {
  const Solution solution = low();
  ASSERT_GE(solution.causes.size(), 2u);
  double sum = 0;
  for (std::size_t i = 0; i < solution.causes.size(); ++i) {
    EXPECT_GE(solution.causes[i > 0 ? i - 1 : 0].likelihood, solution.causes[i].likelihood);
    sum += solution.causes[i].likelihood;
  }
  EXPECT_GT(sum, 0.9);
  EXPECT_LT(sum, 1) << "it may still be none of them";
  EXPECT_TRUE(noted(solution, "front left"));
}

TEST(LikelyCauses, AreAsLikelyAsNormalDensitiesSay) {
  // Two corners read 1.5 mm low by a ruler of 1 mm. A coil's length moves both by 0.4 mm for one deviation, a tyre's
  // diameter, 2 mm, by 1 mm. Density of d under N(0, I + e e^T), with d.d = 4.5: Q = d.d - (e.d)^2 / (1 + e.e).
  const double q_coil = 4.5 - std::pow(2 * 0.4 * 1.5, 2) / (1 + 2 * 0.16),
               q_tyre = 4.5 - std::pow(2 * 1.5, 2) / (1 + 2);
  const double coil = std::exp(-q_coil / 2) / std::sqrt(1 + 2 * 0.16), tyre = std::exp(-q_tyre / 2) / std::sqrt(3.0);
  const Solution solution =
      rested(posts(measured("front left", height_mm - 1.5) + measured("rear right", height_mm - 1.5)));
  ASSERT_TRUE(find(solution, "free-length") && find(solution, "tyre"));
  EXPECT_NEAR(find(solution, "free-length")->likelihood / find(solution, "tyre")->likelihood, coil / tyre, 1e-4);
  EXPECT_NEAR(coil / tyre, 0.1583 / 0.2727, 2e-4);
}

TEST(LikelyCauses, AMassThatWasWeighedIsNotFarOff) {
  // Coils of 0.1 N/mm under 150 g each: 60 g more of mass lower every corner by 60 g / 4 / (0.1 N/mm) = 1.47 mm. As a mass of
  // the budget 600 g are off by 18 g, 60 g are 3.3 times that; four readings within 5 g are off by 10 g, and 60 are 6 times.
  const double is_mm = 64 - 150 * n_per_gram / 0.1 - 56 + 30, low_mm = 60 / 4.0 * n_per_gram / 0.1;
  std::string all;
  for (const char* corner : {"front left", "front right", "rear left", "rear right"})
    all += measured(corner, is_mm - low_mm);
  const std::string vehicle = all + upright({.top = 7, .rate_n_per_mm = 0.1}) + four_corners("l", 10, 8);
  const Solution by_budget = rested(body(600, 0, 0, 5) + vehicle);
  const LikelyCause* mass = find(by_budget, "mass");
  ASSERT_TRUE(mass);
  EXPECT_NEAR(mass->amount, 60, 0.1);
  EXPECT_NEAR(mass->size, 60 / 18.0, 0.01);
  std::string weighed = "format = 1\nname = \"weighed\"\n[sprung]\ncg_height = 5\n";
  for (const char* corner : {"front left", "front right", "rear left", "rear right"})
    weighed += fmt::format("[[weighed]]\nwheels = [\"{}/hub\"]\ngrams = 150\n", corner);
  const Solution by_scale = rested(weighed + vehicle);
  ASSERT_NEAR(*by_scale.corners[0].ride_height_mm, is_mm, 1e-6);
  EXPECT_TRUE(noted(by_scale, "front left"));
  EXPECT_EQ(find(by_scale, "mass"), nullptr);
}

TEST(LikelyCauses, NothingExplainsWhatIsNotBelievable) {
  // Both ends 9 and 13 mm too high, weighed to 7 g, alike on both sides: not 1651 g less, nor a centre 85 mm aside.
  const Solution solution = solved(read_file("tests/ride/models/absurd-causes.toml"));
  EXPECT_TRUE(noted(solution, "front left"));
  EXPECT_TRUE(solution.causes.empty());
  EXPECT_THAT(solution.findings,
              testing::Contains(testing::Field(&Finding::remedy, testing::HasSubstr("nothing here explains it"))));
}

TEST(LikelyCauses, AMassThatIsMissingIsFoundOnSoftSprings) {
  std::string all;
  for (const char* corner : {"front left", "rear right"})
    all += measured(corner, 64 - 15.0 - 56 + 30 - 0.2, "within_mm = 0.3\n");
  // Coils of 0.1 N/mm under 150 g each stand 15 mm lower than free, nearly: 1.4710 N / 0.1.
  const Solution solution =
      rested(body(600, 0, 0, 5) + all + upright({.top = 7, .rate_n_per_mm = 0.1}) + four_corners("l", 10, 8));
  const LikelyCause* mass = find(solution, "mass");
  ASSERT_TRUE(mass);
  const double off_mm = 64 - 150 * n_per_gram / 0.1 - (64 - 15 - 0.2);
  EXPECT_NEAR(mass->amount, off_mm * 0.1 * 4 / n_per_gram, 0.1);
}

TEST(LikelyCauses, OneCornerThatIsLowMayHaveAnotherSpring) {
  // Its coil alone 1.2 mm shorter: on four equal springs the warp goes into all of them, so the corner is lower by more than its
  // neighbours; what it is, is what was made.
  Model shorter = on_tyres(read_rig(posts("")));
  shorter.linkages.push_back(shorter.linkages[0]);
  shorter.corners[2].linkage = 1;
  std::get<Coil>(shorter.linkages[1].springs[0].data).free_mm -= 1.2;
  const Solution truth = solved(shorter);
  std::string all;
  for (const CornerResult& corner : truth.corners)
    all += measured(corner.name, *corner.ride_height_mm, "within_mm = 0.2\n");
  const Solution solution = rested(posts(all));
  ASSERT_FALSE(solution.causes.empty());
  EXPECT_EQ(solution.causes[0].what, "spring main at rear left alone");
  // Its rate would do as well; its length, 0.4 mm from part to part, is one of both.
  const auto length = std::find_if(solution.causes.begin(), solution.causes.end(), [](const LikelyCause& cause) {
    return cause.what == "spring main at rear left alone" && cause.code == "free-length";
  });
  ASSERT_NE(length, solution.causes.end());
  EXPECT_NEAR(length->amount, -1.2, 1e-3);
  EXPECT_NEAR(length->size, 3, 1e-2);
}

TEST(LikelyCauses, ATyreOfAnotherRateIsSquashedMore) {
  // Tyres of 2 N/mm under 4.903 N are squashed by 2.45 mm. To stand 1.1 mm lower they would be squashed by 3.55 mm.
  Tyre soft = plain_tyre;
  soft.rate_n_per_mm = 2;
  const double squashed = half_kilogram_n / 2, percent = 100 * (squashed / (squashed + 1.1) - 1);
  std::string all;
  for (const char* corner : {"front left", "front right", "rear left", "rear right"})
    all += measured(corner, height_mm - squashed - 1.1);
  const Solution solution = solved(on_tyres(read_rig(posts(all)), soft));
  const LikelyCause* rate = find(solution, "tyre-rate");
  ASSERT_TRUE(rate);
  EXPECT_NEAR(rate->amount, percent, 0.05);
  EXPECT_NEAR(rate->size, -percent / 15, 0.01);
  EXPECT_NEAR(find(solution, "tyre")->size, 2.2, 1e-3) << "its diameter is known to 1 mm, its squash being computed";
}

TEST(LikelyCauses, TwistAndBendingLowerAllCornersAlike) {
  const Solution solution = low();
  const LikelyCause* bending = find(solution, "bending");
  ASSERT_TRUE(bending);
  EXPECT_NEAR(bending->amount, 2, 1e-6);
  // Four corners 2 mm low by a ruler of 1 mm; 1.5 mm of bending to 1 mm of a tyre's radius for one deviation each.
  const double by_bending = std::exp(-(16 - std::pow(8 * 1.5, 2) / (1 + 4 * 2.25)) / 2) / std::sqrt(1 + 4 * 2.25);
  const double by_tyre = std::exp(-(16 - 64 / 5.0) / 2) / std::sqrt(5.0);
  EXPECT_NEAR(bending->likelihood / find(solution, "tyre")->likelihood, by_bending / by_tyre, 1e-4);
  EXPECT_EQ(find(rested(posts(measured("rear left", height_mm + 2))), "bending"), nullptr) << "it lifts nothing";
}

TEST(LikelyCauses, HeightsThatDifferTheOtherWayAtTheOtherEndMeanTheCentre) {
  // With the centre 8 mm ahead: moments about the axles at +-80 mm give 2000 (80 +- 8) / 160 g at each end.
  const Solution truth = rested(posts("", 0, 1));
  std::string all;
  for (std::size_t c = 0; c < 4; ++c)
    all += measured(truth.corners[c].name, *truth.corners[c].ride_height_mm, "within_mm = 0.2\n");
  const Solution solution = rested(posts(all));
  ASSERT_FALSE(solution.causes.empty());
  EXPECT_EQ(solution.causes[0].code, "centre");
  EXPECT_NEAR(solution.causes[0].amount, 8, 0.01);
  EXPECT_EQ(find(solution, "mass"), nullptr);
  EXPECT_EQ(find(solution, "tyre"), nullptr);
}

TEST(LikelyCauses, AHoleThatIsOneOffIsNamed) {
  const std::string spring = coil("main", "arm.coil", "chassis.seat", 64, 40, 1.0);
  const auto vehicle = [&](const char* seat, const std::string& more) {
    return body(2000, 0, 0, 5) + more + arm({.seat = seat, .more = spring}) + four_corners("l", 12, 8);
  };
  const Solution truth = rested(vehicle("[5, 8]", ""));
  std::string all;
  for (const std::size_t c : {0u, 2u}) all += measured(truth.corners[c].name, *truth.corners[c].ride_height_mm);
  const Solution solution = rested(vehicle("[5, 7]", all));
  const LikelyCause* hole = find(solution, "hole");
  ASSERT_TRUE(hole);
  EXPECT_EQ(hole->what, "hole chassis.seat of l");
  EXPECT_EQ(hole->needs, "one hole off: [5, 8]");
  EXPECT_NEAR(hole->leaves_mm, 0, 1e-6);
}

TEST(LikelyCauses, AreOfTheBenchToo) {
  Upright post;
  post.top = 7;
  const std::string text = fmt::format(
      "format = 1\nname = \"bench\"\n[spread]\ncoil_length_mm = 0.8\n{}{}[[corner]]\nname = \"c\"\nlinkage = \"l\"\nat "
      "= [0, 0, 4]\nload_n = 4\n",
      measured("c", 64 - 8 - 56 + 30 - 2), upright(post));
  const Solution solution = rested(text);
  ASSERT_TRUE(find(solution, "free-length"));
  EXPECT_NEAR(find(solution, "free-length")->amount, -2, 1e-3);
}

// ------------------------------------------------------------------------------------ play and friction

/// The posts standing as they would with play and friction, read `low_mm` low at two corners.
Standing with_band(double low_mm, std::optional<double> play_mm, double pressed_mm, double lifted_mm) {
  Standing post = standing(on_tyres(
      read_rig(posts(measured("front left", height_mm - low_mm) + measured("rear right", height_mm - low_mm)))));
  for (CornerResult& corner : post.solution.corners) {
    corner.as_built_height_mm.reset();
    if (play_mm) corner.as_built_height_mm = height_mm - *play_mm;
    corner.pressed_height_mm = height_mm - pressed_mm;
    corner.lifted_height_mm = height_mm + lifted_mm;
  }
  return post;
}

std::vector<LikelyCause> causes_of(const Standing& post) {
  return likely_causes(post.model, post.solution, compare_measured(post.model, post.solution));
}

const LikelyCause* find(const std::vector<LikelyCause>& causes, const std::string& code) {
  const auto found =
      std::find_if(causes.begin(), causes.end(), [&](const LikelyCause& cause) { return cause.code == code; });
  return found == causes.end() ? nullptr : &*found;
}

TEST(LikelyCauses, PlayIsOneInProportionToWhatIsUsual) {
  const auto causes = causes_of(with_band(1.2, 0.5, 0.6, 0.0));
  const LikelyCause* play = find(causes, "play");
  ASSERT_TRUE(play);
  EXPECT_NEAR(play->amount, 0.05 * 1.2 / 0.5, 1e-9);  // 0.05 mm at each joint lower it by 0.5 mm
  EXPECT_NEAR(play->leaves_mm, 0, 1e-9);
  EXPECT_EQ(find(causes_of(with_band(-1.2, 0.5, 0.6, 0.0)), "play"), nullptr) << "play never lifts";
  EXPECT_EQ(find(causes_of(with_band(1.2, {}, 0.6, 0.0)), "play"), nullptr) << "it is not known how much it lowers";
}

TEST(LikelyCauses, FrictionIsOneWithinItsBand) {
  const Standing post = with_band(1.2, 0.1, 1.0, 0.4);
  EXPECT_NEAR(*compare_measured(post.model, post.solution)[0].friction_mm, 0.7, 1e-9);
  const auto causes = causes_of(post);
  const LikelyCause* friction = find(causes, "friction");
  ASSERT_TRUE(friction);
  EXPECT_NEAR(friction->leaves_mm, 0.2, 1e-9);
  EXPECT_EQ(friction->needs, "holds it up to 1.0 mm lower or 0.4 mm higher");
  // Each corner evenly between 1.0 lower and 0.4 higher: about -0.3 with a variance of 0.7^2 / 3, besides the ruler's 1.
  // Play moves both by 0.1 mm for one deviation.
  const double variance = 1 + 0.49 / 3, by_friction = std::exp(-2 * 0.81 / variance / 2) / variance;
  const LikelyCause* tyre = find(causes, "tyre");
  const double by_tyre = std::exp(-(2.88 - std::pow(2.4, 2) / 3) / 2) / std::sqrt(3.0);
  ASSERT_TRUE(tyre);
  EXPECT_NEAR(friction->likelihood / tyre->likelihood, by_friction / by_tyre, 1e-4);
}

TEST(Measured, IsNotComparedOnBlocks) {
  SolveOptions options;
  options.floor = Floor{.blocks = {{"front left/hub", 2}}};
  const Solution solution = solved(on_tyres(read_rig(posts(measured("rear left", height_mm - 3)))), options);
  EXPECT_TRUE(solution.measured.empty());
  EXPECT_TRUE(solution.causes.empty());
  EXPECT_FALSE(noted(solution, "rear left"));
}

TEST(Measured, AfterAChangeARulerReadsAsMuchMoreAsIsComputedMore) {
  EXPECT_DOUBLE_EQ(expected_height_mm(35, 37.4, 39.9), 37.5);
}

}  // namespace
}  // namespace ridepitch
