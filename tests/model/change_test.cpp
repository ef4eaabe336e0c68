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

TEST_F(Changed, WithoutChangesNothingDiffers) { EXPECT_EQ(words_of(changed(model, {})), words_of(model)); }

}  // namespace
}  // namespace ridepitch
