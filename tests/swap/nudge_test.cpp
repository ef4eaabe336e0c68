#include "swap/nudge.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <atomic>
#include <cmath>

#include "ride/quantity_readers.hpp"
#include "rigs/models.hpp"
#include "rigs/rest.hpp"
#include "rigs/texts.hpp"
#include "tune/in_parallel.hpp"

namespace ridepitch {
namespace {

using testing::Contains;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::Not;

constexpr double exact_mm = 1e-8;  // of some tens: what Newton's method leaves

/// A wheel on an upright slide under a coil of 0.5 N/mm, 64 mm long when free, its top 10 modules above the guide.
std::string post(const std::string& more = "") {
  return on_bench(
      upright({.more = more, .more_holes = ", spare = [3, 3]", .near_eye = "[0, 2]", .tyre = "part = \"tyre-69\""}), 6,
      "rear left");
}

const Step* step_named(const Nudge& nudge, const std::string& name) {
  for (const Step& each : nudge.steps) {
    if (each.name == name) return &each;
  }
  return nullptr;
}

std::vector<std::string> names_of(const Nudge& nudge) {
  std::vector<std::string> names;
  for (const Step& each : nudge.steps) names.push_back(each.name);
  return names;
}

/// What a step changes a number by.
double change(const Nudge& nudge, const std::string& step, const std::string& where, const std::string& quantity) {
  const Step* found = step_named(nudge, step);
  EXPECT_NE(found, nullptr) << step;
  for (std::size_t i = 0; found && i < nudge.cells.size(); ++i) {
    const Cell& cell = nudge.cells[i];
    if (cell.where == where && cell.figure.what->name == quantity) return *found->values.at(i) - *cell.now;
  }
  ADD_FAILURE() << quantity << " of " << where;
  return 0;
}

Nudge nudged(const Model& model) { return nudge(model, solved(model), linkages_on_ground(model)); }

// The coil is as long as the load makes it; the wheel hangs that far below its seat.
TEST(Nudge, ASeatAModuleHigherLetsAnUprightWheelStandAModuleLower) {
  const Nudge steps = nudged(read_rig(post()));
  EXPECT_NEAR(change(steps, "chassis.top v+1", "rear left", "ride_height_mm"), -8, exact_mm);
  EXPECT_NEAR(change(steps, "chassis.top v-1", "rear left", "ride_height_mm"), 8, exact_mm);
  EXPECT_NEAR(change(steps, "chassis.top v+1", "rear left/hub", "wheel_rate_n_per_mm"), 0, exact_mm);
}

// 6 N shorten one coil by 12 mm, two by 6.
TEST(Nudge, ASecondCoilHalvesWhatTheLoadShortens) {
  const Nudge steps = nudged(read_rig(post()));
  EXPECT_NEAR(change(steps, "main 2 coils of 0.5 N/mm", "rear left", "ride_height_mm"), 6, exact_mm);
  EXPECT_NEAR(change(steps, "main 2 coils of 0.5 N/mm", "rear left/hub", "wheel_rate_n_per_mm"), 0.5, exact_mm);
  EXPECT_NEAR(change(steps, "main 2 coils of 0.5 N/mm", "rear left/hub", "bump_travel_mm"), 6, exact_mm);
}

TEST(Nudge, HolesThatNothingIsJoinedAtAreLeftAlone) {
  const auto names = names_of(nudged(read_rig(post())));
  EXPECT_THAT(names, Contains("chassis.guide u-1"));
  EXPECT_THAT(names, Contains("carrier.eye v+1"));
  EXPECT_THAT(names, Not(Contains(HasSubstr("spare"))));
}

TEST(Nudge, StepsAreHalfModulesWhereTheModelHasThem) {
  std::string text = post();
  text.replace(text.find("spare = [3, 3]"), 14, "spare = [3, 3.5]");
  const Nudge steps = nudged(read_rig(text));
  EXPECT_EQ(steps.step_mm, 4);
  EXPECT_NEAR(change(steps, "chassis.top v+0.5", "rear left", "ride_height_mm"), -4, exact_mm);
}

TEST(Nudge, TheEffectIsTheGreatestChangeInPartsOfItsTolerance) {
  const Nudge steps = nudged(read_rig(post()));
  // 8 mm of ride height, 1 mm allowed; nothing else that is judged changes.
  EXPECT_NEAR(effect_at(steps, *step_named(steps, "chassis.top v+1"), 0, 0), 8, exact_mm);
  EXPECT_NEAR(effect_at(steps, *step_named(steps, "chassis.top v+1"), 0, 0, Keep{.ride_mm = 4}), 2, exact_mm);
  // Wheel rate twice as great, 5 % allowed.
  EXPECT_NEAR(effect_at(steps, *step_named(steps, "main 2 coils of 0.5 N/mm"), 0, 0), 20, exact_mm);
}

TEST(Nudge, AStepThatLeavesNoStanceSaysWhy) {
  // The coil is drawn out to its free length with a seat at 9 and slides no farther down; a strap that ends above the
  // reach of a lower seat can't be met.
  const Model model =
      read_rig(post("[linkage.l.limit.strap]\nfrom = \"carrier.eye\"\nto = \"chassis.top\"\nmin = 5.4\nmax = 8\n"
                    "[linkage.l.limit.stop]\nfrom = \"carrier.eye\"\nto = \"chassis.spare\"\nmin = 3\nmax = 4\n"));
  const Nudge steps = nudged(model);
  int without = 0;
  for (const Step& each : steps.steps) {
    EXPECT_EQ(each.values.empty(), !each.why_not.empty()) << each.name;
    if (each.why_not.empty()) continue;
    ++without;
    EXPECT_EQ(effect_at(steps, each, 0, 0), std::numeric_limits<double>::infinity());
  }
  EXPECT_GT(without, 0);
}

TEST(Nudge, OffersOnlyHolesThatTheBodysPartHas) {
  // The rocker is a bent beam with holes [3, 0] ... [0, 0] ... [0, 3]: from its end one step goes back along the leg only.
  const Model model = demo("ore-hauler");
  std::vector<std::string> of_coil;
  for (const std::string& name : names_of(nudge(model, solved(model), {0})))
    if (name.starts_with("rocker.coil ")) of_coil.push_back(name);
  EXPECT_THAT(of_coil, testing::ElementsAre("rocker.coil v-1"));
}

TEST(Nudge, TriesEveryHoleRodAndSpringOfAVehicleBothWays) {
  const Model model = demo("ore-hauler");
  const Nudge steps = nudge(model, solved(model), {0});
  const auto names = names_of(steps);
  for (const char* name : {"chassis.seat u-1", "chassis.seat u+1", "chassis.seat v-1", "chassis.seat v+1", "pushrod 5",
                           "pushrod 7", "main 1 coil-65-firm", "main 3 coil-65-firm", "main 2 coil-65-medium",
                           "main 2 coil-65-hard", "main 2 coil-55-firm", "main 2 coil-75-firm"}) {
    EXPECT_THAT(names, Contains(name));
  }
  // Each is the model with that one change, solved by itself.
  const Step& step = *step_named(steps, "chassis.seat v+1");
  const Model with = changed(model, {step.change});
  const Solution alone = solved(with);
  for (std::size_t i = 0; i < steps.cells.size(); ++i) {
    const Cell& cell = steps.cells[i];
    EXPECT_EQ(step.values[i], value_of(with, alone, cell.figure)) << cell.figure.what->name;
  }
}

// ------------------------------------------------------------------------------- neighbours

struct Neighbours : testing::Test {  // of the built-in catalogue: lengths 45 to 95, each soft, medium, firm, hard
  Model model = demo("ore-hauler");

  std::vector<std::string> of(const std::string& part) const {
    Spring spring = model.linkages[0].springs[0];
    spring.part = part;
    return neighbouring_springs(model, spring);
  }
  std::vector<double> lengths(const std::string& part, double length, double across = 0) const {
    Rod rod;
    rod.part = part;
    rod.length_mm = 8 * length;
    rod.across_mm = 8 * across;
    std::vector<double> modules;
    for (const double mm : neighbouring_lengths_mm(model, rod, 8)) modules.push_back(mm / 8);
    return modules;
  }
};

TEST_F(Neighbours, AreTheNextInStrengthAndInLength) {
  EXPECT_THAT(of("coil-65-firm"), ElementsAre("coil-65-medium", "coil-65-hard", "coil-55-firm", "coil-75-firm"));
  EXPECT_THAT(of("coil-45-soft"), ElementsAre("coil-45-medium", "coil-55-soft"));
  EXPECT_THAT(of("band-3-plain"), ElementsAre("band-3-thin", "band-3-broad", "band-2-plain", "band-4-plain"));
  EXPECT_THAT(of(""), IsEmpty());
}

TEST_F(Neighbours, WhatIsGoneIsPassedOver) {
  model.prices["coil-65-hard"] = {1.0, Stock::gone};
  model.prices["coil-75-firm"] = {1.0, Stock::gone};
  model.prices["coil-55-firm"] = {1.0, Stock::scarce};
  const auto names = of("coil-65-firm");
  EXPECT_THAT(names, Not(Contains("coil-65-hard")));
  EXPECT_THAT(names, Not(Contains("coil-75-firm")));
  EXPECT_THAT(names, Contains("coil-55-firm"));
}

TEST_F(Neighbours, ARodHasTheNextLengthsOfTheCatalogue) {
  EXPECT_THAT(lengths("rod-12", 12), ElementsAre(11, 14));
  EXPECT_THAT(lengths("rod-2", 2), ElementsAre(3));
  EXPECT_THAT(lengths("", 6.5), ElementsAre(5.5, 7.5));
  EXPECT_THAT(lengths("rod-6", 6.5), ElementsAre(5.5, 7.5));  // bent: not of that length any more
  EXPECT_THAT(lengths("rod-6", 6, 5.5), ElementsAre(7));
}

// ------------------------------------------------------------------------------- threads

TEST(InParallel, DoesEachTaskOnceAndTellsHowFarItIs) {
  for (const std::size_t count : {0u, 1u, 100u}) {
    std::vector<std::atomic<int>> done(count);
    std::atomic<std::size_t> told = 0;
    in_parallel(
        count, [&](std::size_t i) { ++done[i]; },
        [&](std::size_t so_far, std::size_t all) {
          EXPECT_EQ(all, count);
          EXPECT_LE(so_far, count);
          ++told;
        });
    for (const auto& each : done) EXPECT_EQ(each, 1);
    EXPECT_EQ(told, count);
  }
}

TEST(InParallel, LeavesOutWhatHasNotBegunOnceItShallEnd) {
  std::atomic<int> done = 0;
  EXPECT_FALSE(in_parallel(
      1000, [&](std::size_t) { ++done; }, {}, [&] { return done >= 10; }));
  EXPECT_GE(done, 10);
  EXPECT_LT(done, 10 + most_threads());
  EXPECT_TRUE(in_parallel(
      10, [](std::size_t) {}, {}, [] { return false; }));
}

TEST(Nudge, OnceItShallEndHoldsTheStepsThatWereTriedAndHowManyThereAre) {
  const Model model = demo("ore-hauler");
  const Solution rest = solved(model);
  const Nudge whole = nudge(model, rest, {0});
  EXPECT_EQ(whole.all_steps, whole.steps.size());
  std::atomic<int> asked = 0;
  const Nudge part = nudge(model, rest, {0}, {}, [&] { return ++asked > 5; });
  EXPECT_EQ(part.all_steps, whole.all_steps);
  EXPECT_EQ(part.steps.size(), 5u);
  const auto all = names_of(whole);
  for (const Step& each : part.steps) {
    EXPECT_THAT(all, Contains(each.name));
    EXPECT_TRUE(each.why_not.empty() || each.values.empty());
  }
}

}  // namespace
}  // namespace ridepitch
