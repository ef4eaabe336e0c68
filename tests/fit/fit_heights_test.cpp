// A spring's data from ride heights of a vehicle. Expected: closed forms of a wheel straight under its coil, and what the
// heights were computed with by the solver, whose own values are tested elsewhere.

#include "fit/fit_heights.hpp"

#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "model/read.hpp"
#include "ride/solve.hpp"
#include "rigs/models.hpp"
#include "rigs/texts.hpp"

namespace ridepitch {
namespace {

using testing::HasSubstr;

/// One wheel on an upright slide under a coil of 64 mm, on the bench. The seat is 80 mm above the guide, the tyre 60 mm:
/// with its coil at a length L the wheel's centre is at v = 80 - L and the corner's place 30 - v = L - 50 mm high.
std::string one_wheel(const std::string& law = "") {
  return on_bench(upright({.preload_n = 1, .law = law}), 3, "post");
}

Model model_of(const std::string& text) { return on_tyres(read_rig(text)); }

HeightFit fit(const Model& model, const HeightReadings& readings, const HeightFitOptions& options = {}) {
  FitHeightsResult result = fit_heights(model, readings, "heights.csv", options);
  for (const Problem& problem : result.problems) ADD_FAILURE() << problem.text;
  return result.fit.value_or(HeightFit{});
}

std::string refused(const Model& model, const HeightReadings& readings, const HeightFitOptions& options = {}) {
  const FitHeightsResult result = fit_heights(model, readings, "heights.csv", options);
  EXPECT_FALSE(result.fit);
  if (result.problems.empty()) return "";
  EXPECT_NE(result.problems[0].hint, "") << "it must say what to do";
  return result.problems[0].code;
}

HeightRow row(double extra_kg, double height_mm, int corner = 0) {
  return {extra_kg, std::nullopt, {{corner, height_mm}}, {}};
}

constexpr double n_per_kg = 9.80665;  // standard gravity, exact

TEST(FitHeights, FindsRateAndPreloadOfACoilUnderAPost) {
  // A coil of 0.4 N/mm with a preload of 1.5 N stands at L = 64 - (load - 1.5) / 0.4, the post at L - 50.
  HeightReadings readings;
  for (const double extra_kg : {0.0, 0.2, 0.4})
    readings.rows.push_back(row(extra_kg, 64 - (3 + extra_kg * n_per_kg - 1.5) / 0.4 - 50));
  const HeightFit found = fit(model_of(one_wheel()), readings);
  ASSERT_EQ(found.found.size(), 2u);
  EXPECT_NEAR(found.found[0].value, 0.4, 1e-6);
  EXPECT_NEAR(found.found[1].value, 1.5, 1e-6);
  EXPECT_EQ(std::get<Coil>(found.after).free_mm, 64);
  EXPECT_EQ(found.freedoms, 1);
}

TEST(FitHeights, FindsTheFreeLengthWherePreloadIsKnown) {
  HeightReadings readings;
  for (const double extra_kg : {0.0, 0.2})
    readings.rows.push_back(row(extra_kg, 66 - (3 + extra_kg * n_per_kg - 1) / 0.5 - 50));
  const HeightFit found = fit(model_of(one_wheel()), readings, {.spring = "", .unknowns = {Unknown::free_length}});
  EXPECT_NEAR(found.found[0].value, 66, 1e-6);
}

TEST(FitHeights, FitsAFreeLengthInPlaceOfAPreloadBelowNothing) {
  HeightReadings readings;
  for (const double extra_kg : {0.0, 0.1, 0.2})
    readings.rows.push_back(row(extra_kg, 62 - (3 + extra_kg * n_per_kg) / 0.5 - 50));
  const HeightFit found = fit(model_of(one_wheel()), readings);
  EXPECT_EQ(found.unknowns[1], Unknown::free_length);
  EXPECT_NEAR(found.found[0].value, 0.5, 1e-6);
  EXPECT_NEAR(found.found[1].value, 62, 1e-6);
  EXPECT_EQ(std::get<Coil>(found.after).preload_n, 0);
}

TEST(FitHeights, TakesALawTimesAFactor) {
  HeightReadings readings;
  // Forces of the law, twice: 1 + 0.5 s becomes 2 + s.
  for (const double extra_kg : {0.0, 0.2})
    readings.rows.push_back(row(extra_kg, 64 - (3 + extra_kg * n_per_kg - 2) - 50));
  const HeightFit found = fit(model_of(one_wheel("[[0, 1], [10, 6], [20, 11]]")), readings);
  EXPECT_NEAR(found.found[0].value, 2, 1e-6);
  EXPECT_NEAR(std::get<Coil>(found.after).law->back().y(), 22, 1e-4);
}

Model with_coil(Model model, double rate, double preload) {
  for (Linkage& linkage : model.linkages) {
    for (Spring& spring : linkage.springs) {
      Coil& coil = std::get<Coil>(spring.data);
      coil.rate_n_per_mm = rate;
      coil.preload_n = preload;
    }
  }
  return model;
}

/// Heights of a model with another spring in it, as its solver computes them.
HeightReadings heights_with(Model model, const std::vector<double>& extra_kg, const Vec3& at_mm, double rate,
                            double preload) {
  model = with_coil(std::move(model), rate, preload);
  HeightReadings readings;
  for (const double extra : extra_kg) {
    Model loaded = model;
    if (extra > 0) loaded.masses.push_back({"extra", extra, at_mm, std::nullopt, {}});
    const SolveResult result = solve(loaded);
    HeightRow one{extra, at_mm, {}, {}};
    for (const int corner : {0, 2})
      one.height_mm.emplace_back(corner, *result.solution->corners[static_cast<std::size_t>(corner)].ride_height_mm);
    readings.rows.push_back(one);
  }
  return readings;
}

TEST(FitHeights, FindsTheSpringOfAWholeVehicleFromItsEnds) {
  const Model hauler = demo("quarry-hauler");
  const HeightReadings readings = heights_with(hauler, {0, 0.3, 0.6}, Vec3(-32, 8, 90), 0.55, 1.4);
  const HeightFit found = fit(hauler, readings);
  EXPECT_EQ(found.part, "coil-7-firm");
  EXPECT_NEAR(found.found[0].value, 0.55, 1e-6);
  EXPECT_NEAR(found.found[1].value, 1.4, 1e-6);
  for (const HeightMatch& match : found.matches) EXPECT_NEAR(match.after_mm, match.measured_mm, 1e-6);
}

TEST(FitHeights, AWeighedVehicleKeepsItsMassUnderExtraWeights) {
  Model by_mass = model_of("format = 1\nname = \"m\"\n[[mass]]\nname = \"all\"\ngrams = 1600\nat = [1, 0, 4]\n" +
                           one_wheel().substr(one_wheel().find("[linkage")));
  by_mass.bench = false;
  by_mass.corners.clear();
  for (const auto& [name, x, y] :
       {std::tuple{"front left", 10, 8}, {"front right", 10, -8}, {"rear left", -10, 8}, {"rear right", -10, -8}}) {
    Corner corner;
    corner.name = name;
    corner.at_mm = Vec3(8 * x, 8 * y, 32);
    by_mass.corners.push_back(corner);
  }
  // What the scale would read with the true springs in it: the ground loads of the vehicle given by its masses.
  const Solution stance = *solve(with_coil(by_mass, 0.42, 0.7)).solution;
  const auto read_kg = [&](std::size_t corner) {
    return 2 * *stance.corners[corner].wheels[0].ground_load_n / n_per_kg;
  };
  Model weighed = by_mass;
  weighed.masses.clear();
  weighed.weighed = {{{{0, 0}, {1, 0}}, read_kg(0), {}}, {{{2, 0}, {3, 0}}, read_kg(2), {}}};
  weighed.sprung = Sprung{32.0, std::nullopt, {}};
  HeightReadings readings = heights_with(by_mass, {0, 0.4, 0.8}, Vec3(24, 0, 32), 0.42, 0.7);
  const HeightFit found = fit(weighed, readings);
  EXPECT_NEAR(found.found[0].value, 0.42, 1e-5);
  EXPECT_NEAR(found.found[1].value, 0.7, 1e-5);
}

TEST(FitHeights, WhatTellsNothingIsRefusedWithAWayOut) {
  const Model post = model_of(one_wheel());
  HeightReadings one;
  one.rows = {row(0, 10)};
  EXPECT_EQ(refused(post, one), "too-few");
  HeightReadings twice;
  twice.rows = {row(0, 10), row(0, 10.2)};
  EXPECT_EQ(refused(post, twice), "not-told");  // one load tells one force
  EXPECT_EQ(refused(post, twice, {.spring = "other", .unknowns = {}}), "unknown-name");
  EXPECT_EQ(refused(post, twice, {.spring = "", .unknowns = {Unknown::preload, Unknown::free_length}}), "unknowns");
  EXPECT_EQ(refused(demo("timber-forwarder"), twice), "which-spring");
}

TEST(FitHeights, HeightsThatNoSpringExplainsAreToldSo) {
  const Model post = model_of(one_wheel());
  // Heights that rise with the weight: no spring does that, and their mean is nearer than any rate.
  for (const std::vector<double>& mm : std::vector<std::vector<double>>{{4, 12, 13, 3, 4, 12}, {2, 9, 16, 2, 9, 16}}) {
    HeightReadings noise;
    for (std::size_t i = 0; i < mm.size(); ++i) noise.rows.push_back(row(0.03 * static_cast<double>(i % 3), mm[i]));
    const FitHeightsResult result =
        fit_heights(post, noise, "heights.csv", {.spring = "", .unknowns = {Unknown::rate}});
    ASSERT_FALSE(result.fit);
    EXPECT_THAT(result.problems.front().code, ::testing::AnyOf("explains-nothing", "not-told"));
    EXPECT_NE(result.problems.front().hint, "");
  }
}

TEST(FitHeights, WhatIsNoBetterThanTheFileIsToldSo) {
  // The file's coil, 0.5 N/mm and 1 N, and errors that no straight line takes up: 0.035 mm2 in all, a mean square of 0.007
  // over the five before, of 0.012 over three freedoms after.
  const Model post = model_of(one_wheel());
  HeightReadings readings;
  for (const auto& [extra_kg, off_mm] : {std::pair{0.0, 0.1}, {0.1, -0.05}, {0.2, -0.1}, {0.3, -0.05}, {0.4, 0.1}})
    readings.rows.push_back(row(extra_kg, 64 - (3 + extra_kg * n_per_kg - 1) / 0.5 - 50 + off_mm));
  EXPECT_FALSE(fit(post, readings).explains);
  // 2 mm lower throughout, a preload that is less: that explains much.
  for (HeightRow& each : readings.rows) each.height_mm[0].second -= 2;
  EXPECT_TRUE(fit(post, readings).explains);
}

TEST(FitHeights, OneLoadTellsOneValue) {
  HeightReadings twice;
  twice.rows = {row(0, 9.9), row(0, 10.1)};
  // At 10 mm the coil is 60 mm long: 3 N = 1 + rate * 4.
  const HeightFit found = fit(model_of(one_wheel()), twice, {.spring = "post/main", .unknowns = {Unknown::rate}});
  EXPECT_NEAR(found.found[0].value, 0.5, 1e-3);  // the mean of two heights is not quite the height of the mean rate
}

// ------------------------------------------------------------------------------------ its table

std::vector<Problem> problems(const std::string& text) {
  return read_height_readings(text, "heights.csv", demo("quarry-hauler"), Vec3(0, 0, 40)).problems;
}

TEST(HeightsTable, NamesItsColumnsLikeTheCorners) {
  const auto read = read_height_readings("extra (kg);x_modules;Rear_left (cm);front right height mm\n0;;3,9;37\n",
                                         "heights.csv", demo("quarry-hauler"), Vec3(0, 0, 40));
  EXPECT_FALSE(read.readings) << "an x is missing where the column asks for it";
  const auto sound =
      read_height_readings("extra (kg);x_modules;Rear_left (cm);front right height mm\n0,3;-4;3,9;37\n0;0;;36\n",
                           "heights.csv", demo("quarry-hauler"), Vec3(5, 0, 40));
  for (const Problem& problem : sound.problems) ADD_FAILURE() << problem.text;
  ASSERT_TRUE(sound.readings);
  const HeightRow& first = sound.readings->rows[0];
  EXPECT_NEAR(first.extra_kg, 0.3, 1e-12);
  EXPECT_EQ(*first.at_mm, Vec3(-32, 0, 40));  // -4 modules of 8 mm, at the height of the centre of gravity
  ASSERT_EQ(first.height_mm.size(), 2u);
  EXPECT_EQ(first.height_mm[0].first, 2);  // the third corner
  EXPECT_NEAR(first.height_mm[0].second, 39, 1e-12);
  EXPECT_EQ(sound.readings->rows[1].height_mm.size(), 1u);
}

TEST(HeightsTable, WhatIsWrongIsRefusedWithItsLine) {
  const auto expect = [](const std::string& text, int line, const std::string& code) {
    const std::vector<Problem> found = problems(text);
    ASSERT_FALSE(found.empty()) << text;
    EXPECT_EQ(found[0].place.line, line) << found[0].text;
    EXPECT_EQ(found[0].code, code) << found[0].text;
    EXPECT_NE(found[0].hint, "") << found[0].text;
  };
  expect("extra_g\n0\n", 1, "no-column");
  expect("rear left_mm,\n39,\n", 1, "no-column");
  expect("extra_g,rear middle_mm\n0,39\n", 1, "unknown-corner");
  expect("extra_g,height_mm\n0,39\n", 1, "unknown-corner");
  expect("extra_g,rear left\n0,39\n", 1, "unknown-unit");
  expect("extra_g,more_g,rear left_mm\n0,1,39\n", 1, "two-columns");
  expect("extra_g,z_mm,rear left_mm\n0,1,39\n", 1, "no-column");
  expect("extra_g,rear left_mm\n-10,39\n", 2, "negative");
  expect("extra_g,rear left_mm\n0,\n", 2, "empty-cell");
  expect("extra_g,rear left_mm\n0,high\n", 2, "wrong-type");
  expect("extra_g,rear left_mm\n0,39\n100,1001\n", 3, "out-of-range");
  expect("extra_g,rear left_cm\n0,390\n", 2, "out-of-range");
}

}  // namespace
}  // namespace ridepitch
