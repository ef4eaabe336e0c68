#include "tune/space.hpp"

#include <cmath>
#include <limits>
#include <set>

#include <gtest/gtest.h>

#include "rigs/models.hpp"
#include "tune/candidates.hpp"

namespace ridepitch {
namespace {

const char* const varied = R"(
[tune]
corner = "rear left"
[[tune.vary]]
hole = "chassis.rocker"
u = [1, 3]
v = [5, 6]
step = 1
[[tune.vary]]
rod = "pushrod"
length = [5, 6, 7, 8]
[[tune.vary]]
spring = "main"
part = ["coil-7-firm", "coil-65-firm"]
count = [1, 2]
)";

/// The quarry hauler with prices: four coils of 2.50 or 1.25 each a corner, and one part that the list does not have.
Model priced() {
  Model model = demo_with("quarry-hauler", varied);
  model.has_prices = true;
  model.prices["coil-7-firm"].price = 2.5;
  model.prices["coil-65-firm"].price = 1.25;
  model.prices["tyre-70"].price = 3;
  return model;
}

TEST(Space, HasEveryChoiceOfEveryThingOnce) {
  const Model model = priced();
  const Space space = make_space(model, *model.tune);
  EXPECT_EQ(space.size, 6u * 4 * 4);
  ASSERT_EQ(space.variables.size(), 3u);
  EXPECT_EQ(space.variables[0].thing, "chassis.rocker");
  EXPECT_EQ(space.variables[1].thing, "pushrod");
  EXPECT_EQ(space.variables[2].thing, "main");
  EXPECT_TRUE(space.variables[2].is_spring);
  EXPECT_EQ(space.corners, (std::vector<int>{0, 1, 2, 3}));  // all four stand on that linkage
}

std::vector<Vec2> places_in(const Variable& variable) {
  std::vector<Vec2> places;
  for (const Change& option : variable.options) places.push_back(std::get<MoveHole>(option).to_B_mm / 8);
  return places;
}

// Two bodies of the ore hauler's front arm: a straight beam of nine holes, and a bent one with holes [3, 0] to [0, 0] to [0, 3].
TEST(Space, OffersOnlyHolesThatABodysPartHasWhateverTheStep) {
  const Model model = demo_with("ore-hauler", R"(
[tune]
corner = "front left"
[[tune.vary]]
hole = "rocker.coil"
u = [-1, 2]
v = [0, 4]
step = 0.5
[[tune.vary]]
hole = "arm.push"
at = [[4, 0], [4.5, 0], [6, 0], [6, 1]]
)");
  const Space space = make_space(model, *model.tune);
  ASSERT_EQ(space.variables.size(), 2u);
  EXPECT_EQ(places_in(space.variables[0]), (std::vector<Vec2>{{0, 0}, {1, 0}, {2, 0}, {0, 1}, {0, 2}, {0, 3}}));
  EXPECT_EQ(places_in(space.variables[1]), (std::vector<Vec2>{{4, 0}, {6, 0}}));
}

TEST(Space, NumbersOfCandidatesRunThereAndBack) {
  const Model model = priced();
  const Space space = make_space(model, *model.tune);
  std::vector<int> options;
  std::set<std::vector<int>> seen;
  for (std::uint64_t candidate = 0; candidate < space.size; ++candidate) {
    options_of(space, candidate, options);
    ASSERT_EQ(candidate_of(space, options), candidate);
    for (std::size_t i = 0; i < options.size(); ++i) {
      ASSERT_GE(options[i], 0);
      ASSERT_LT(options[i], static_cast<int>(space.variables[i].options.size()));
    }
    seen.insert(options);
  }
  EXPECT_EQ(seen.size(), space.size);
  options_of(space, 1, options);
  EXPECT_EQ(options, (std::vector<int>{0, 0, 1})) << "the last thing runs fastest";
}

TEST(Space, AModelAsItStandsIsTheCandidateThatChangesNothing) {
  const Model model = priced();
  const Space space = make_space(model, *model.tune);
  const auto own = as_it_stands(space);
  ASSERT_TRUE(own);
  EXPECT_TRUE(changes_of(space, *own).empty());
  std::vector<int> options;
  options_of(space, *own, options);
  EXPECT_EQ(holes_changed(space, options), 0);
}

TEST(Space, CountsHolesRodsAndSpringsThatDiffer) {
  const Model model = priced();
  const Space space = make_space(model, *model.tune);
  std::vector<int> options;
  for (std::uint64_t candidate = 0; candidate < space.size; ++candidate) {
    options_of(space, candidate, options);
    ASSERT_EQ(holes_changed(space, options), static_cast<int>(changes_of(space, candidate).size()));
  }
}

TEST(Space, HasNoCandidateAsItStandsWhereTheFileOffersOnlyOthers) {
  const Model model =
      demo_with("quarry-hauler", "[tune]\ncorner = \"rear left\"\n[[tune.vary]]\nrod = \"pushrod\"\nlength = [5, 7]\n");
  const Space space = make_space(model, *model.tune);
  EXPECT_FALSE(as_it_stands(space));
  EXPECT_EQ(holes_changed(space, {0}), 1);
  EXPECT_EQ(holes_changed(space, {1}), 1);
}

TEST(Space, APriceIsThatOfEverythingThatIsBuilt) {
  const Model model = priced();
  const Space space = make_space(model, *model.tune);
  // Four corners: a tyre of 3 each, and coils. What the list does not have and nothing chooses costs nothing.
  const std::vector<double> of_coils = {4 * 2.5, 4 * 2 * 2.5, 4 * 1.25, 4 * 2 * 1.25};
  for (int k = 0; k < 4; ++k)
    EXPECT_DOUBLE_EQ(price_of(space, {0, 0, k}), 4 * 3 + of_coils[static_cast<std::size_t>(k)]) << k;
}

TEST(Space, APartThatIsChosenAndHasNoPriceMakesThePriceUnknown) {
  Model model = priced();
  model.prices.erase("coil-65-firm");
  const Space space = make_space(model, *model.tune);
  EXPECT_DOUBLE_EQ(price_of(space, {0, 0, 0}), 4 * 3 + 4 * 2.5);
  EXPECT_TRUE(std::isnan(price_of(space, {0, 0, 2})));
}

const char* const varied_rod = R"(
[tune]
corner = "front left"
[[tune.vary]]
rod = "pushrod"
length = [5, 6, 7]
)";

/// The gravel tug, whose four pushrods are catalogue rods of 6 modules.
Model with_priced_rods() {
  Model model = demo_with("gravel-tug", varied_rod);
  model.has_prices = true;
  model.prices.clear();
  model.prices["rod-6"].price = 0.25;
  model.prices["rod-7"].price = 0.5;
  return model;
}

TEST(Space, ARodOfAnotherLengthHasThePriceOfTheRodThatIsSoLong) {
  const Model model = with_priced_rods();
  const Space space = make_space(model, *model.tune);
  ASSERT_EQ(space.size, 3u);
  const double all_but_rods = space.fixed_price;
  EXPECT_DOUBLE_EQ(price_of(space, {1}), all_but_rods + 4 * 0.25);
  EXPECT_DOUBLE_EQ(price_of(space, {2}), all_but_rods + 4 * 0.5);
  EXPECT_TRUE(std::isnan(price_of(space, {0}))) << "the list has no rod of 5 modules";
}

TEST(Space, RodsOfWhichTheListKnowsNothingCostNothing) {
  Model model = with_priced_rods();
  model.prices.erase("rod-6");
  model.prices.erase("rod-7");
  const Space space = make_space(model, *model.tune);
  for (int k = 0; k < 3; ++k) EXPECT_DOUBLE_EQ(price_of(space, {k}), space.fixed_price) << k;
}

TEST(Space, RodsThatAreGoneAreLeftOutOnlyWhereAsked) {
  Model model = with_priced_rods();
  model.prices["rod-7"].stock = Stock::gone;
  Tune tune = *model.tune;
  EXPECT_EQ(make_space(model, tune).size, 3u);
  tune.keep_parts = true;
  EXPECT_EQ(make_space(model, tune).size, 2u);
}

TEST(Space, SpringsThatAreGoneAreLeftOutOnlyWhereAsked) {
  Model model = priced();
  model.prices["coil-65-firm"].stock = Stock::gone;
  Tune tune = *model.tune;
  EXPECT_EQ(make_space(model, tune).size, 6u * 4 * 4);
  tune.keep_parts = true;
  EXPECT_EQ(make_space(model, tune).size, 6u * 4 * 2);
  model.prices["coil-7-firm"].stock = Stock::gone;
  EXPECT_EQ(make_space(model, tune).size, 0u);
}

TEST(Space, MoreCandidatesThanANumberHoldsAreTheGreatestNumber) {
  const Model model = priced();
  std::vector<Variable> variables(3);
  for (Variable& variable : variables)
    for (int i = 0; i < 3000000; ++i) variable.options.emplace_back(SetLength{0, 0, 40.0 + i});
  EXPECT_EQ(make_space(model, std::move(variables)).size,
            std::numeric_limits<std::uint64_t>::max());  // 2.7e19 > 1.8e19
}

}  // namespace
}  // namespace ridepitch
