// What to buy, counted by hand: the tug has four corners of two coils each; prices are those of its list.

#include "swap/shopping.hpp"

#include <gtest/gtest.h>

#include "model/change.hpp"
#include "rigs/models.hpp"

namespace ridepitch {
namespace {

TEST(Shopping, CountsOverAllCornersWhatIsMoreAndWhatIsLeft) {
  const Model before = demo("gravel-tug");
  EXPECT_EQ(parts_needed(before).at("coil-75-firm"), 8);
  EXPECT_EQ(parts_needed(before).at("tyre-69"), 4);
  const Model after = changed(before, {SetSpring{0, 0, "coil-65-firm", 3}, SetLength{0, 0, 7 * before.module_mm}});
  const Shopping list = shopping(before, after);
  ASSERT_EQ(list.buy.size(), 2u);
  EXPECT_EQ(list.buy[0].part, "coil-65-firm");
  EXPECT_EQ(list.buy[0].count, 12);
  EXPECT_EQ(list.buy[0].each, before.prices.at("coil-65-firm").price);
  EXPECT_EQ(list.buy[1].part, "rod-7");
  EXPECT_EQ(list.buy[1].count, 4);
  double total = 0;
  for (const ShoppingLine& line : list.buy) total += line.each ? line.count * *line.each : 0;
  EXPECT_DOUBLE_EQ(list.total, total);
  ASSERT_EQ(list.left_over.size(), 2u);
  EXPECT_EQ(list.left_over[0].part, "coil-75-firm");
  EXPECT_EQ(list.left_over[0].count, 8);
  EXPECT_EQ(list.left_over[1].part, "rod-6");
}

TEST(Shopping, OfTheSameModelIsEmpty) {
  const Model model = demo("quarry-hauler");
  EXPECT_TRUE(shopping(model, model).buy.empty());
  EXPECT_TRUE(shopping(model, model).left_over.empty());
}

}  // namespace
}  // namespace ridepitch
