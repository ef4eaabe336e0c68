// What a model is built from, counted by hand on demos; prices are those of the tug's list.

#include "parts/parts_bill.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "model/change.hpp"
#include "rigs/models.hpp"

namespace ridepitch {
namespace {

using testing::ElementsAre;
using testing::Pair;

// Four corners, two of them mirrored: each an arm (its rocker has no part), a pushrod, two coils and a tyre.
TEST(PartsNeeded, AreThoseOfAllCornersOfTheTug) {
  EXPECT_THAT(parts_needed(demo("gravel-tug")),
              ElementsAre(Pair("beam-9", 4), Pair("coil-75-firm", 8), Pair("rod-6", 4), Pair("tyre-69", 4)));
}

// Four corners: two coils and a tyre each; its arms, rockers and rods have no part.
TEST(PartsNeeded, AreThoseOfAllCornersOfTheHauler) {
  EXPECT_THAT(parts_needed(demo("quarry-hauler")), ElementsAre(Pair("coil-7-firm", 8), Pair("tyre-70", 4)));
}

TEST(PartsNeeded, TakeInTheBill) {
  Model model = demo("quarry-hauler");
  model.bill = {{"coil-7-firm", 3, "", {}}, {"gear-20", 2, "gearbox", {}}};
  EXPECT_EQ(parts_needed(model).at("coil-7-firm"), 11) << "8 in the linkages, 3 spare ones";
  EXPECT_EQ(parts_needed(model).at("gear-20"), 2);
}

// One pin of 2 and one axle of 5 a corner, at four corners; the third pin is longer than any of the catalogue.
TEST(PartsNeeded, TakeInPinsAndAxlesOfEveryCornerAndTellWhichAreMissing) {
  const Model model = demo("gravel-tug");
  Stacks stacks;
  stacks.linkages = {{.linkage = 0, .name = "arm", .complete = true}};
  stacks.linkages[0].pins = {{"arm.push", false, 2, false, "pin-2-smooth", 2.0},
                             {"hub", true, 4.6, false, "axle-5", 5.0},
                             {"rocker.coil", false, 40.5, false, "", {}}};
  const PartCounts needed = parts_needed(model, stacks);
  EXPECT_EQ(needed.at("pin-2-smooth"), 4);
  EXPECT_EQ(needed.at("axle-5"), 4);
  EXPECT_EQ(needed.at("coil-75-firm"), 8);
  EXPECT_THAT(pins_without_part(stacks), ElementsAre("pin of arm/rocker.coil: 40.5 modules, longer than any"));
}

// 8 x 7.60 = 60.80 and 4 x 0.10 = 0.40: 61.20, without the beams and the tyres, which the list does not have.
TEST(PartsBill, AddsUpInCents) {
  PriceList prices = {{"coil-75-firm", {7.60, Stock::gone}}, {"rod-6", {0.10, Stock::plenty}}};
  const PartsBill bill = bill_of(parts_needed(demo("gravel-tug")), prices);
  EXPECT_EQ(bill.pieces, 4 + 8 + 4 + 4);
  EXPECT_EQ(bill.total, 6120);
  EXPECT_EQ(bill.without_price, 2);
  EXPECT_EQ(bill.lines.at(1).part, "coil-75-firm");
  EXPECT_EQ(bill.lines.at(1).sum(), 6080);
  EXPECT_EQ(bill.lines.at(1).stock, Stock::gone);
}

// Ten thousand times 0.07 is 700.00; added up as doubles it is not.
TEST(PartsBill, StaysExactWhereDoublesDoNot) {
  double as_doubles = 0;
  PartCounts needed;
  PriceList prices;
  for (int i = 0; i < 10'000; ++i) {
    const std::string part = "part-" + std::to_string(i);
    needed[part] = 1;
    prices[part] = {0.07, Stock::plenty};
    as_doubles += 0.07;
  }
  EXPECT_NE(as_doubles, 700.0);
  EXPECT_EQ(bill_of(needed, prices).total, 70'000);
}

// Before 8 x 7.60 + 4 x 0.10 = 61.20; then 12 x 1.20 + 4 x 0.10 = 14.80. 46.40 of 61.20 is 75.817 %.
TEST(PartsAgainst, AnotherModelAddUp) {
  const PriceList prices = {{"coil-75-firm", {7.60, Stock::gone}},
                            {"coil-65-firm", {1.20, Stock::plenty}},
                            {"rod-6", {0.10, Stock::plenty}},
                            {"rod-7", {0.10, Stock::plenty}}};
  const PartCounts before = {{"coil-75-firm", 8}, {"rod-6", 4}}, after = {{"coil-65-firm", 12}, {"rod-7", 4}};
  const PartsAgainst against = parts_against(after, before, prices);
  EXPECT_EQ(against.added.total, 1480);
  EXPECT_EQ(against.removed.total, 6120);
  EXPECT_EQ(against.saved, 4640);
  EXPECT_EQ(*against.saved, bill_of(before, prices).total - bill_of(after, prices).total);
  EXPECT_NEAR(*against.saved_percent, 75.817, 5e-4);
}

TEST(PartsAgainst, AnotherModelTellNothingSavedWhereAPriceIsMissing) {
  const PriceList prices = {{"rod-6", {0.10, Stock::plenty}}};
  const PartsAgainst unknown = parts_against({{"rod-7", 4}}, {{"rod-6", 4}}, prices);
  EXPECT_FALSE(unknown.saved);
  // Of parts that both have the price does not matter, but to the percentage.
  const PartsAgainst known = parts_against({{"tyre", 4}}, {{"tyre", 4}, {"rod-6", 2}}, prices);
  EXPECT_EQ(known.saved, 20);
  EXPECT_FALSE(known.saved_percent);
}

}  // namespace
}  // namespace ridepitch
