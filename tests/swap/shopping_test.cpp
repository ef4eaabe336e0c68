// What to buy, counted by hand: the tug has four corners of two coils each; prices are those of its list.

#include "swap/shopping.hpp"

#include <gtest/gtest.h>

#include "model/change.hpp"
#include "rigs/models.hpp"

namespace ridepitch {
namespace {

TEST(Shopping, CountsOverAllCornersWhatIsMoreAndWhatIsLeft) {
  const Model before = demo("gravel-tug");
  const Model after = changed(before, {SetSpring{0, 0, "coil-65-firm", 3}, SetLength{0, 0, 7 * before.module_mm}});
  const Shopping list = shopping(before, after);
  ASSERT_EQ(list.buy.size(), 2u);
  EXPECT_EQ(list.buy[0].part, "coil-65-firm");
  EXPECT_EQ(list.buy[0].count, 12);
  EXPECT_EQ(list.buy[0].each, 1.20);  // tests/models/gravel-tug's list
  EXPECT_EQ(list.buy[0].stock, Stock::plenty);
  EXPECT_EQ(list.buy[1].part, "rod-7");
  EXPECT_EQ(list.buy[1].count, 4);
  EXPECT_EQ(list.buy[1].each, 0.10);
  EXPECT_DOUBLE_EQ(list.total, 14.80);  // 12 x 1.20 = 14.40, 4 x 0.10 = 0.40
  EXPECT_EQ(list.without_price, 0);
  ASSERT_EQ(list.left_over.size(), 2u);
  EXPECT_EQ(list.left_over[0].part, "coil-75-firm");
  EXPECT_EQ(list.left_over[0].count, 8);
  EXPECT_EQ(list.left_over[1].part, "rod-6");
}

TEST(Shopping, CountsWhatTheListDoesNotHaveAndLeavesItOutOfTheTotal) {
  Model before = demo("gravel-tug");
  before.prices.erase("rod-7");
  const Model after = changed(before, {SetSpring{0, 0, "coil-65-firm", 3}, SetLength{0, 0, 7 * before.module_mm}});
  const Shopping list = shopping(before, after);
  EXPECT_EQ(list.without_price, 1);
  EXPECT_DOUBLE_EQ(list.total, 14.40);  // 12 x 1.20
  EXPECT_FALSE(list.buy[1].each);
  EXPECT_FALSE(list.buy[1].stock);
}

TEST(Shopping, OfTheSameModelIsEmpty) {
  const Model model = demo("quarry-hauler");
  EXPECT_TRUE(shopping(model, model).buy.empty());
  EXPECT_TRUE(shopping(model, model).left_over.empty());
}

}  // namespace
}  // namespace ridepitch
