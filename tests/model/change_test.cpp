#include "model/change.hpp"

#include <gtest/gtest.h>

#include "model/model_files.hpp"
#include "model/model_words.hpp"
#include "model/tune.hpp"
#include "rigs/models.hpp"

namespace ridepitch {
namespace {

struct Changed : testing::Test {  // quarry-hauler.toml: one linkage, two coils and a pushrod of 6 modules
  const Model model = read_file("tests/models/quarry-hauler.toml");
  const Linkage& arm = model.linkages[0];

  Rod rod(const std::string& part, double length_modules) const {
    Rod result = arm.rods[0];
    result.part = part;
    result.length_mm = length_modules * model.module_mm;
    return result;
  }
  std::string part_at(const Rod& of, double length_modules) const {
    return rod_part(model, of, length_modules * model.module_mm);
  }
};

TEST_F(Changed, ARodsPartIsThatOfItsRowWithTheOtherLength) {
  EXPECT_EQ(part_at(rod("rod-6", 6), 7), "rod-7");
  EXPECT_EQ(part_at(rod("rod-6-ball", 6), 12), "rod-12-ball");
  EXPECT_EQ(part_at(rod("rod-6-ball", 6), 14), "rod-14");  // no ball rod is as long
  EXPECT_EQ(part_at(rod("rod-6", 6), 6.5), "");
  EXPECT_EQ(part_at(rod("rod-6", 6), 6), "rod-6");
}

TEST_F(Changed, APartThatIsNoMeasureOfTheRodStays) {
  EXPECT_EQ(part_at(rod("rod-6", 6.5), 8), "rod-6");  // bent, perhaps: it was not 6 before
  EXPECT_EQ(part_at(rod("from the scrap box", 6), 8), "from the scrap box");
  EXPECT_EQ(part_at(rod("", 6), 8), "");
}

TEST_F(Changed, TheLaterOfTwoChangesCounts) {
  const Model after = changed(model, {SetSpring{0, 0, "coil-65-hard", 3}, SetSpring{0, 0, "", 1}});
  EXPECT_EQ(after.linkages[0].springs[0].part, "coil-65-hard");
  EXPECT_EQ(after.linkages[0].springs[0].count, 1);
  EXPECT_EQ(std::get<Coil>(after.linkages[0].springs[0].data).rate_n_per_mm,
            std::get<Coil>(model.catalogue.at("coil-65-hard").data).rate_n_per_mm);
}

TEST_F(Changed, AnIndexIsThatOfTheModelBeforeAnyChange) {
  Model two = model;
  two.linkages[0].springs.push_back(two.linkages[0].springs[0]);
  two.linkages[0].springs[1].name = "second";
  two.linkages[0].springs.push_back(two.linkages[0].springs[0]);
  two.linkages[0].springs[2].name = "third";
  auto tune = std::make_shared<Tune>();
  for (const int spring : {0, 1, 2}) tune->vary.push_back({0, VarySpring{spring, {}, {spring + 1}}, {}});
  two.tune = tune;
  const Model after =
      changed(two, {RemoveSpring{0, 0}, SetSpring{0, 2, "", 7}, RemoveSpring{0, 1}, RemoveSpring{0, 0}});
  ASSERT_EQ(after.linkages[0].springs.size(), 1u);
  EXPECT_EQ(after.linkages[0].springs[0].name, "third");
  EXPECT_EQ(after.linkages[0].springs[0].count, 7);
  ASSERT_EQ(after.tune->vary.size(), 1u);
  EXPECT_EQ(std::get<VarySpring>(after.tune->vary[0].what).spring, 0);
  EXPECT_EQ(std::get<VarySpring>(after.tune->vary[0].what).counts, std::vector<int>{3});
}

TEST_F(Changed, AnotherTyreIsOnTheSteeredWheelsOfItsCornersToo) {
  const Model dumper = shown_demo("bark-dumper");  // wishbones in front, arms behind, a steering for the front
  ASSERT_EQ(dumper.linkages[0].name, "wishbone");
  const Model after = changed(dumper, {SetTyre{0, 0, "tyre-84-soft"}});
  const Tyre& soft = std::get<Tyre>(dumper.catalogue.at("tyre-84-soft").data);
  const auto is_soft = [&](const Wheel& wheel) {
    return wheel.part == "tyre-84-soft" && wheel.tyre.diameter_mm == soft.diameter_mm &&
           wheel.tyre.mass_g == soft.mass_g && wheel.tyre.width_mm == soft.width_mm &&
           wheel.tyre.rate_n_per_mm == soft.rate_n_per_mm;
  };
  EXPECT_TRUE(is_soft(after.linkages[0].wheels[0]));
  EXPECT_EQ(after.linkages[1].wheels[0].part, "tyre-69");
  for (const Wheel& wheel : after.linkages[2].wheels) EXPECT_TRUE(is_soft(wheel)) << wheel.name;
  const Model behind = changed(dumper, {SetTyre{1, 0, "tyre-84-soft"}});
  for (const Wheel& wheel : behind.linkages[2].wheels) EXPECT_EQ(wheel.part, "tyre-69");
}

TEST_F(Changed, APartIsExchangedAndTheHolesStay) {
  const Model dumper = shown_demo("bark-dumper");
  const Model after = changed(dumper, {SetPart{1, 1, "beam-11"}});
  EXPECT_EQ(after.linkages[1].bodies[1].part, "beam-11");
  for (std::size_t h = 0; h < after.linkages[1].bodies[1].holes.size(); ++h)
    EXPECT_EQ(after.linkages[1].bodies[1].holes[h].p_B, dumper.linkages[1].bodies[1].holes[h].p_B);
  EXPECT_TRUE(is_already_so(after, SetPart{1, 1, "beam-11"}));
  EXPECT_FALSE(is_already_so(dumper, SetPart{1, 1, "beam-11"}));
}

TEST_F(Changed, OnlyARodOfASteeredWheelHasHeights) {
  const Model dumper = shown_demo("bark-dumper");
  EXPECT_FALSE(is_tie_rod(dumper.linkages[1], dumper.linkages[1].rods[0]));
  for (const Rod& rod : dumper.linkages[2].rods) EXPECT_TRUE(is_tie_rod(dumper.linkages[2], rod));
  const Model after = changed(dumper, {SetRodHeight{2, 0, {24, 36}}});
  EXPECT_EQ(after.linkages[2].rods[0].height_mm, (std::array<double, 2>{24, 36}));
  EXPECT_EQ(after.linkages[2].rods[1].height_mm, (std::array<double, 2>{24, 32}));
  EXPECT_TRUE(is_already_so(after, SetRodHeight{2, 0, {24, 36}}));
  EXPECT_EQ(changed_thing(dumper, SetRodHeight{2, 0, {}}), "left height");
  EXPECT_EQ(changed_thing(dumper, SetTyre{0, 0, ""}), "hub tyre");
  EXPECT_EQ(changed_linkage(SetTyre{1, 0, ""}), 1);
}

TEST_F(Changed, WithoutChangesNothingDiffers) { EXPECT_EQ(words_of(changed(model, {})), words_of(model)); }

}  // namespace
}  // namespace ridepitch
