// The sections of the vehicle as a whole, its corners, its bench and its weighings.

#include <gtest/gtest.h>

#include <fstream>
#include <iterator>
#include <numbers>

#include "model/model_files.hpp"
#include "rigs/files.hpp"
#include "rigs/models.hpp"

namespace ridepitch {
namespace {

TEST(Vehicle, EverySectionIsReadInItsUnits) {  // tests/model/good/everything.toml, where a module is 10 mm
  const Model model = read_file("tests/model/good/everything.toml");
  EXPECT_EQ(model.module_mm, 10);
  ASSERT_EQ(model.masses.size(), 2u);  // two of one name
  EXPECT_NEAR(model.masses[0].kg, 0.240, exact);
  EXPECT_NEAR((model.masses[0].at_mm - Vec3(60, 5, 40)).norm(), 0, exact);
  EXPECT_NEAR((model.masses[0].size_mm.value() - Vec3(90, 50, 40)).norm(), 0, exact);
  EXPECT_FALSE(model.masses[1].size_mm);
  ASSERT_EQ(model.measured.size(), 1u);
  EXPECT_EQ(model.corners[static_cast<std::size_t>(model.measured[0].corner)].name, "rear left");
  EXPECT_EQ(model.measured[0].ride_height_mm, 39);
  EXPECT_EQ(model.measured[0].within_mm, 1);  // where the file does not say
  ASSERT_EQ(model.bars.size(), 1u);
  EXPECT_EQ(model.bars[0].ends[0].corner, 2);
  EXPECT_EQ(model.bars[0].ends[1].corner, 3);
  EXPECT_EQ(model.bars[0].ends[1].body, 1);
  EXPECT_NEAR(model.bars[0].rate_n_mm_per_rad, 687.5493541569879, 1e-10);  // 12 * 180 / pi
  EXPECT_NEAR(model.bars[0].free_rad, 5 * std::numbers::pi / 180, exact);
  ASSERT_EQ(model.bill.size(), 2u);
  EXPECT_EQ(model.bill[0].part, "gear-a");
  EXPECT_EQ(model.bill[0].count, 8);
  EXPECT_EQ(model.bill[0].where, "doors");
  EXPECT_EQ(model.bill[1].part, "sticker, red");  // known to the price list only
  ASSERT_EQ(model.keepouts.size(), 1u);
  EXPECT_NEAR((model.keepouts[0].at_mm - Vec3(120, 0, 50)).norm(), 0, exact);
  EXPECT_NEAR((model.keepouts[0].size_mm - Vec3(80, 70, 60)).norm(), 0, exact);
  EXPECT_EQ(model.full_size_wheel_mm, 1240);
  EXPECT_EQ(model.friction.pin_mu.value, 0.3);
  EXPECT_EQ(model.friction.pin_radius_mm.value, 2.4);
  EXPECT_TRUE(model.friction.pin_mu.given);
  EXPECT_TRUE(model.spread.given);
  EXPECT_EQ(model.spread.coil_rate_percent.value, 8);
  EXPECT_EQ(model.spread.pin_play_mm.value, 0.1);
  EXPECT_TRUE(model.spread.pin_play_mm.given);
  EXPECT_EQ(model.spread.mass_percent.value, 3);  // usual
  EXPECT_FALSE(model.spread.mass_percent.given);
  ASSERT_EQ(model.original_lengths.size(), 1u);
  EXPECT_EQ(model.original_lengths[0].name, "wheelbase");
  EXPECT_EQ(model.original_lengths[0].model_mm, 288);
  EXPECT_EQ(model.original_lengths[0].original_mm, 5150);
  EXPECT_EQ(model.friction.tyre_mu, 0.8);
  EXPECT_EQ(model.build_width, 9);
}

TEST(Corners, AMirroredCornerStandsRightAfterItsOriginalOnTheOtherSide) {
  const Model model = read_file("tests/model/good/everything.toml");
  ASSERT_EQ(model.corners.size(), 6u);
  EXPECT_EQ(model.corners[2].name, "rear left");
  EXPECT_EQ(model.corners[3].name, "rear right");
  EXPECT_FALSE(model.corners[2].mirrored);
  EXPECT_TRUE(model.corners[3].mirrored);
  EXPECT_NEAR((model.corners[3].at_mm - Vec3(-100, -80, 40)).norm(), 0, exact);
  EXPECT_TRUE(model.corners[3].flip);  // a side plane is the same seen from either side
  EXPECT_NEAR(model.corners[3].unsprung_kg, 0.035, exact);
  EXPECT_EQ(model.corners[1].name, "front right");
  EXPECT_FALSE(model.corners[0].flip);
  EXPECT_TRUE(model.corners[1].flip);  // a front plane is not
}

TEST(Corners, TheWordOfASideIsExchangedWhereverItStands) {
  const auto mirrored = [](std::string_view name) {
    const ReadModel read =
        read_small_model_with("[[corner]]\nname = \"" + std::string(name) +
                              "\"\nlinkage = \"arm\"\nat = [0, 4, 0]\nload_g = 500\nmirror = true\n");
    return read.model ? read.model->corners.at(2).name : "";
  };
  EXPECT_EQ(mirrored("left"), "right");
  EXPECT_EQ(mirrored("Right front"), "Left front");
  EXPECT_EQ(mirrored("front-left_2"), "front-right_2");
  EXPECT_EQ(mirrored("aleft left"), "aleft right");
  EXPECT_EQ(mirrored("bright"), "");
}

TEST(Corners, LoadsOnAllOfThemMakeABench) {
  const ReadModel read = read_small_model_with(
      "[[corner]]\nname = \"x left\"\nlinkage = \"arm\"\nat = [0, 4, 0]\nload_g = 500\nmirror = true\n");
  ASSERT_TRUE(read.model);
  EXPECT_TRUE(read.model->bench);
  EXPECT_EQ(read.model->corners[0].load_n, 8);
  EXPECT_NEAR(read.model->corners[1].load_n.value(), 4.903325, exact);  // half a kilogram at 9.80665 m/s2
  EXPECT_NEAR(read.model->corners[2].load_n.value(), 4.903325, exact);
}

TEST(Corners, OfTopLinkagesDoNotCountForTheBench) {
  const ReadModel read = read_small_model_with(
      "[linkage.steer]\nplane = \"top\"\nbody.chassis = { holes = {} }\n[[corner]]\nname = \"steering\"\nlinkage = "
      "\"steer\"\nat = [0, 0, 0]\n");
  ASSERT_TRUE(read.model) << read.problems.at(0).text;
  EXPECT_TRUE(read.model->bench);
}

TEST(Corners, AVehicleOfTopLinkagesOnlyNeedsNoMass) {
  const ReadModel read = read_text(
      "format = 1\nname = \"x\"\n[linkage.steer]\nplane = \"top\"\nbody.chassis = { holes = {} }\n"
      "[[corner]]\nname = \"steering\"\nlinkage = \"steer\"\nat = [0, 0, 0]\n");
  EXPECT_TRUE(read.model) << read.problems.at(0).text;
}

TEST(Weighed, ReadingsStandInPlaceOfMasses) {
  const Model model = read_file("tests/model/good/weighed.toml");
  EXPECT_TRUE(model.masses.empty());
  EXPECT_FALSE(model.bench);
  ASSERT_EQ(model.weighed.size(), 2u);
  EXPECT_NEAR(model.weighed[0].kg, 1.210, exact);
  EXPECT_NEAR(model.weighed[0].within_kg, 0.005, exact);                        // 5 g where the file does not say
  EXPECT_EQ(model.weighed[0].wheels, (std::vector<WheelRef>{{1, 0}, {2, 0}}));  // one of them made by a mirror
  EXPECT_EQ(model.weighed[1].wheels, (std::vector<WheelRef>{{0, 0}}));
  EXPECT_NEAR(model.sprung.value().cg_height_mm.value(), 40, exact);
  EXPECT_NEAR((model.sprung.value().size_mm.value() - Vec3(368, 128, 80)).norm(), 0, exact);
}

TEST(Weighed, SaysHowFarTheScaleMayBeOff) {
  std::ifstream file(source_path("tests/model/good/weighed.toml"));
  std::string text((std::istreambuf_iterator<char>(file)), std::istreambuf_iterator<char>());
  const std::string reading = "grams = 650\n";
  ASSERT_NE(text.find(reading), std::string::npos);
  text.insert(text.find(reading), "within_g = 2\n");
  const ReadModel read = read_text(text);
  ASSERT_TRUE(read.model) << read.problems.at(0).text;
  EXPECT_NEAR(read.model->weighed.at(1).within_kg, 0.002, exact);
}

TEST(Measured, SaysHowFarTheRulerMayBeOff) {
  const ReadModel read =
      read_small_model_with("[[measured]]\nof = \"rear left\"\nride_height_mm = 39\nwithin_mm = 0.5\n");
  ASSERT_TRUE(read.model) << read.problems.at(0).text;
  EXPECT_EQ(read.model->measured.at(0).within_mm, 0.5);
  const ReadModel negative =
      read_small_model_with("[[measured]]\nof = \"rear left\"\nride_height_mm = 39\nwithin_mm = -1\n");
  ASSERT_EQ(negative.problems.size(), 1u);
  EXPECT_EQ(negative.problems[0].text, "'within_mm' of this [[measured]] is -1 mm, but must be 0 mm or more");
}

}  // namespace
}  // namespace ridepitch
