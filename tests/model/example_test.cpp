// tests/models/quarry-hauler.toml read to the numbers that stand in it, worked out by hand: a module is 8 mm.

#include <gtest/gtest.h>

#include "model/model_files.hpp"
#include "rigs/files.hpp"
#include "rigs/models.hpp"

namespace ridepitch {
namespace {

struct QuarryHauler : testing::Test {
  const Model model = read_file("tests/models/quarry-hauler.toml");
};

TEST_F(QuarryHauler, HasItsMasses) {
  EXPECT_EQ(model.name, "Quarry hauler");
  ASSERT_EQ(model.masses.size(), 4u);
  EXPECT_EQ(model.masses[0].name, "drive unit");
  EXPECT_NEAR(model.masses[0].kg, 0.780, exact);
  EXPECT_NEAR((model.masses[0].at_mm - Vec3(80, 0, 40)).norm(), 0, exact);
  ASSERT_TRUE(model.masses[3].size_mm);
  EXPECT_NEAR((*model.masses[3].size_mm - Vec3(320, 144, 64)).norm(), 0, exact);
  double kg = 0;
  for (const Mass& mass : model.masses) kg += mass.kg;
  EXPECT_NEAR(kg, 2.4, exact);
}

TEST_F(QuarryHauler, HasItsArm) {
  ASSERT_EQ(model.linkages.size(), 1u);
  const Linkage& arm = model.linkages[0];
  EXPECT_EQ(arm.plane, Plane::side);
  ASSERT_EQ(arm.bodies.size(), 3u);
  EXPECT_EQ(arm.bodies[chassis].name, "chassis");
  EXPECT_EQ(arm.bodies[1].name, "arm");
  EXPECT_EQ(arm.bodies[2].name, "rocker");
  EXPECT_NEAR((arm.bodies[chassis].holes[2].p_B - Vec2(-32, 72)).norm(), 0, exact);
  ASSERT_EQ(arm.bodies[2].near.size(), 2u);
  EXPECT_EQ(arm.bodies[2].near[1].hole, 2);
  EXPECT_NEAR((arm.bodies[2].near[1].p_C - Vec2(16, 72)).norm(), 0, exact);
  ASSERT_EQ(arm.pins.size(), 2u);
  EXPECT_EQ(arm.pins[1].name, "chassis.rocker");
  EXPECT_EQ(arm.pins[1].holes, (std::vector<HoleRef>{{0, 1}, {2, 0}}));
  EXPECT_EQ(hole_name(arm, arm.pins[1].holes[1]), "rocker.root");
  ASSERT_EQ(arm.rods.size(), 1u);
  EXPECT_NEAR(arm.rods[0].length_mm, 48, exact);
  EXPECT_EQ(hole_name(arm, arm.rods[0].from), "arm.push");
  EXPECT_EQ(hole_name(arm, arm.rods[0].to), "rocker.push");
}

TEST_F(QuarryHauler, HasItsSpringsFromItsOwnCatalogue) {
  const Spring& main = model.linkages[0].springs[0];
  EXPECT_EQ(main.part, "coil-7-firm");
  EXPECT_EQ(main.count, 2);
  const Coil& coil = std::get<Coil>(main.data);
  EXPECT_EQ(coil.free_mm, 56);
  EXPECT_EQ(coil.solid_mm, 40);
  EXPECT_EQ(coil.rate_n_per_mm, 0.62);
  EXPECT_EQ(coil.preload_n, 1.0);
  EXPECT_EQ(model.linkages[0].wheels[0].tyre.diameter_mm, 70);
  EXPECT_EQ(model.linkages[0].wheels[0].tyre.mass_g, 42);
  EXPECT_EQ(model.files, (std::vector<std::string>{source_path("tests/models/quarry-hauler.toml"),
                                                   source_path("tests/models/parts.toml")}));
  EXPECT_EQ(model.catalogue.at("coil-9-firm").place.file, 1);
  EXPECT_EQ(model.catalogue.at("coil-9-firm").place.line, 13);
}

TEST_F(QuarryHauler, StandsOnFourCorners) {
  ASSERT_EQ(model.corners.size(), 4u);
  EXPECT_EQ(model.corners[3].name, "rear right");
  EXPECT_NEAR((model.corners[3].at_mm - Vec3(-80, -64, 32)).norm(), 0, exact);
  EXPECT_FALSE(model.corners[1].flip);
  EXPECT_TRUE(model.corners[3].flip);
  EXPECT_NEAR(model.corners[3].unsprung_kg, 0.035, exact);
  EXPECT_FALSE(model.bench);
  ASSERT_EQ(model.clearances.size(), 1u);
  EXPECT_NEAR(model.clearances[0].at_mm.z(), 8, exact);
}

TEST(ReadModel, WhatItDoesNotReadIsAlsoAProblem) {
  EXPECT_EQ(read_model(source_path("tests/models/no-such-model.toml")).problems.at(0).text,
            "the file can't be read: there is no such file");
  EXPECT_EQ(read_model(source_path("models")).problems.at(0).text, "the file can't be read: it is a folder");
}

TEST(ReadModel, GivesTheSameModelFromTheSameText) {
  const Model first = read_file("tests/model/good/everything.toml"),
              second = read_file("tests/model/good/everything.toml");
  ASSERT_EQ(first.linkages.size(), second.linkages.size());
  for (std::size_t i = 0; i < first.linkages.size(); ++i) EXPECT_EQ(first.linkages[i].name, second.linkages[i].name);
}

TEST(ReadModel, NotesALinkageThatNoCornerUses) {
  const ReadModel read = read_model(source_path("tests/model/good/weighed.toml"));
  ASSERT_TRUE(read.model);
  ASSERT_EQ(read.notes.size(), 1u);
  EXPECT_EQ(read.notes[0].code, "unused-linkage");
  EXPECT_EQ(read.notes[0].text, "no corner uses linkage 'spare'");
  EXPECT_EQ(read.notes[0].place.line, 38);
  EXPECT_EQ(read.notes[0].place.column, 10);
  EXPECT_EQ(read.notes[0].line_text, "[linkage.spare]");
}

}  // namespace
}  // namespace ridepitch
