// Every key of a linkage, from tests/model/good/everything.toml, where a module is 10 mm.

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "model/model_files.hpp"
#include "rigs/models.hpp"

namespace ridepitch {
namespace {

constexpr double degree = std::numbers::pi / 180;

struct Everything : testing::Test {
  const Model model = read_file("tests/model/good/everything.toml");
  const Linkage& arm = model.linkages.at(0);
  const Linkage& steer = model.linkages.at(2);
  const Linkage& rear_steer = model.linkages.at(3);
};

TEST_F(Everything, LinkagesStandInTheOrderOfTheText) {
  ASSERT_EQ(model.linkages.size(), 4u);
  EXPECT_EQ(arm.name, "arm");
  EXPECT_EQ(model.linkages[1].name, "gate");
  EXPECT_EQ(steer.name, "steer");
  EXPECT_EQ(rear_steer.name, "rear-steer");
  EXPECT_EQ(arm.plane, Plane::side);
  EXPECT_EQ(model.linkages[1].plane, Plane::front);
  EXPECT_EQ(steer.plane, Plane::top);
}

TEST_F(Everything, TheChassisComesFirstAndTheOtherBodiesAsWritten) {
  ASSERT_EQ(arm.bodies.size(), 3u);
  EXPECT_EQ(arm.bodies[chassis].name, "chassis");
  EXPECT_EQ(arm.bodies[1].name, "arm");
  EXPECT_EQ(arm.bodies[2].name, "rocker");
  EXPECT_EQ(hole_name(arm, arm.pins[0].holes[0]), "chassis.arm");
  EXPECT_EQ(hole_name(arm, arm.pins[0].holes[1]), "arm.root");
}

TEST_F(Everything, BodiesHaveHolesHintsPartLayerAndShape) {
  const Body& body = arm.bodies[1];
  ASSERT_EQ(body.holes.size(), 3u);
  EXPECT_EQ(body.holes[0].name, "root");
  EXPECT_EQ(body.holes[1].name, "push");
  EXPECT_NEAR((body.holes[2].p_B - Vec2(80, 0)).norm(), 0, exact);
  ASSERT_EQ(body.near.size(), 1u);
  EXPECT_EQ(body.near[0].hole, 2);
  EXPECT_NEAR((body.near[0].p_C - Vec2(80, 0)).norm(), 0, exact);
  EXPECT_EQ(body.part, "beam-a");
  EXPECT_EQ(body.layer, 1);
  EXPECT_EQ(body.shape, (std::vector<std::vector<int>>{{0, 2}}));
  EXPECT_EQ(arm.bodies[chassis].shape, (std::vector<std::vector<int>>{{0, 2}, {1, 2}}));
  EXPECT_EQ(arm.bodies[chassis].layer, std::nullopt);
  EXPECT_EQ(arm.bodies[2].layer, -1);
  EXPECT_TRUE(arm.bodies[2].shape.empty());
}

TEST_F(Everything, PinsAreNamedByTheirFirstHoleWhereTheyHaveNoName) {
  EXPECT_EQ(arm.pins[0].name, "arm pin");
  EXPECT_EQ(arm.pins[1].name, "chassis.rocker");
}

TEST_F(Everything, RodsLimitsAndSpringsAreInMillimetres) {
  const Rod& rod = arm.rods.at(0);
  EXPECT_EQ(rod.name, "pushrod");
  EXPECT_NEAR(rod.length_mm, 65, exact);
  EXPECT_NEAR(rod.across_mm, 10, exact);
  EXPECT_EQ(rod.part, "beam-a");
  EXPECT_EQ(rod.layer, 2);
  EXPECT_NEAR(rod.swing_rad.value(), 25 * degree, exact);
  EXPECT_FALSE(rod.height_mm);
  const Limit& limit = arm.limits.at(0);
  EXPECT_NEAR(limit.min_mm.value(), 100, exact);
  EXPECT_NEAR(limit.max_mm.value(), 180, exact);
  EXPECT_NEAR(limit.across_mm, 20, exact);
  EXPECT_NEAR(arm.springs.at(0).across_mm, 5, exact);
}

TEST_F(Everything, SpringsComeFromACatalogueOrFromTheirOwnKeys) {
  ASSERT_EQ(arm.springs.size(), 3u);
  const Coil& main = std::get<Coil>(arm.springs[0].data);
  EXPECT_EQ(main.preload_n, 1.5);
  EXPECT_EQ(main.friction_n, 0.3);
  EXPECT_EQ(main.damping_n_s_per_mm, 0.01);
  EXPECT_EQ(main.diameter_mm, 15);
  EXPECT_EQ(main.mass_g, 5);
  EXPECT_EQ(arm.springs[0].count, 2);
  EXPECT_EQ(arm.springs[0].layer, 3);
  const Band& own = std::get<Band>(arm.springs[1].data);
  EXPECT_EQ(own.free_mm, 30);
  EXPECT_EQ(own.rate_n_per_mm, 0.08);
  EXPECT_EQ(arm.springs[1].part, "");
  EXPECT_EQ(arm.springs[1].count, 1);
}

TEST_F(Everything, TorsionSpringsAreInRadians) {
  const Torsion& twist = std::get<Torsion>(arm.springs[2].data);
  EXPECT_EQ(twist.from, chassis);
  EXPECT_EQ(twist.to, 1);
  // 12 N mm for each degree is 12 * 180 / pi for each radian.
  EXPECT_NEAR(twist.rate_n_mm_per_rad, 687.5493541569879, 1e-10);
  EXPECT_NEAR(twist.free_rad, -std::numbers::pi / 2, exact);
  EXPECT_NEAR(twist.min_rad.value(), -std::numbers::pi / 4, exact);
  EXPECT_NEAR(twist.max_rad.value(), std::numbers::pi / 4, exact);
  EXPECT_EQ(arm.springs[2].count, 3);
}

TEST_F(Everything, ALawIsATableOfPoints) {
  const Coil& coil = std::get<Coil>(model.linkages[1].springs.at(0).data);
  ASSERT_TRUE(coil.law);
  ASSERT_EQ(coil.law->size(), 3u);
  EXPECT_EQ((*coil.law)[1], Vec2(10, 4.5));
  const Band& band = std::get<Band>(model.catalogue.at("band-a").data);
  EXPECT_EQ(band.law.value().back(), Vec2(40, 3.5));
}

TEST_F(Everything, SlidesAndRackDrives) {
  const Slide& rack = steer.slides.at(0);
  EXPECT_EQ(hole_name(steer, rack.hole), "rack.middle");
  EXPECT_EQ(hole_name(steer, rack.through), "chassis.guide");
  EXPECT_NEAR((rack.along - Vec2(0, 1)).norm(), 0, exact);  // its length does not matter
  EXPECT_NEAR(rack.stroke_mm.value()[0], -20, exact);
  EXPECT_NEAR(rack.stroke_mm.value()[1], 20, exact);
  EXPECT_FALSE(rack.turns);
  EXPECT_NEAR(rack.angle_rad, std::numbers::pi / 2, exact);
  const Drive& drive = steer.drive.value();
  EXPECT_EQ(drive.slide, 0);
  EXPECT_FALSE(drive.pin);
  EXPECT_EQ(drive.pinion_teeth, 12);
  EXPECT_EQ(drive.tooth_module_mm, 1.25);
  EXPECT_EQ(drive.gear_ratio, 3);
  EXPECT_EQ(drive.follows, "");
}

TEST_F(Everything, APinDriveMayBeNamedByAnyOfItsHoles) {
  const Drive& drive = rear_steer.drive.value();
  EXPECT_EQ(rear_steer.pins.at(0).name, "wand.root");
  EXPECT_EQ(drive.pin, 0);
  EXPECT_NEAR(drive.range_rad.value()[0], -60 * degree, exact);
  EXPECT_NEAR(drive.range_rad.value()[1], 30 * degree, exact);
  EXPECT_EQ(drive.follows, "steer");
  EXPECT_EQ(drive.ratio, -0.5);
  EXPECT_EQ(drive.tooth_module_mm, 1.0);
  EXPECT_EQ(drive.gear_ratio, 1.0);
}

TEST_F(Everything, ShaftsOfDrivenWheels) {
  const Shaft& shaft = arm.wheels.at(0).shaft.value();
  EXPECT_NEAR((shaft.from_mm - Vec3(90, 20, 45)).norm(), 0, exact);
  EXPECT_NEAR(shaft.swing_rad, 30 * degree, exact);
  EXPECT_EQ(shaft.slide_mm, 4);
}

TEST_F(Everything, SteeredWheelsAndTieRods) {
  const Wheel& left = steer.wheels.at(0);
  EXPECT_NEAR((left.ahead.value() - Vec2(1, 0)).norm(), 0, exact);
  EXPECT_EQ(left.same_as, "front left/hub");
  EXPECT_NEAR(left.king_rad.value()[0], 5 * degree, exact);
  EXPECT_NEAR(left.king_rad.value()[1], 10 * degree, exact);
  EXPECT_EQ(left.tyre.rate_n_per_mm, 6.5);
  EXPECT_EQ(left.tyre.width_mm, 24);
  EXPECT_NEAR(steer.rods.at(0).height_mm.value()[0], 30, exact);
  EXPECT_NEAR(steer.rods.at(0).height_mm.value()[1], 35, exact);
}

TEST_F(Everything, PlacesSayWhereTheFileSaysIt) {
  EXPECT_EQ(arm.place.line, 55);
  EXPECT_EQ(arm.bodies[1].holes[0].place.line, 59);
  EXPECT_EQ(arm.rods[0].length_place.line, 73);
  EXPECT_EQ(arm.rods[0].length_place.column, 1);
  EXPECT_EQ(arm.rods[0].place.column, 18);
}

TEST(Linkage, AHoleMayBeInSeveralPinsIfNothingIsJoinedTwice) {
  const ReadModel read = read_small_model_with(R"(
[linkage.other]
plane = "side"
[linkage.other.body]
chassis = { holes = { a = [0, 0] } }
one = { holes = { a = [0, 0] } }
two = { holes = { a = [0, 0] } }
[[linkage.other.pin]]
join = ["chassis.a", "one.a"]
[[linkage.other.pin]]
join = ["one.a", "two.a"]
)");
  EXPECT_TRUE(read.model) << read.problems.at(0).text;
}

TEST(Linkage, AWheelMayHaveTheKeysOfATyreInPlaceOfAPart) {
  std::string text(small_model);
  const std::string named = "part = \"tyre-a\"";
  text.replace(text.find(named), named.size(), "diameter_mm = 70, width_mm = 24, mass_g = 42, rate_n_per_mm = 5");
  const ReadModel read = read_text(text);
  ASSERT_TRUE(read.model) << read.problems.at(0).text;
  const Wheel& wheel = read.model->linkages[0].wheels[0];
  EXPECT_EQ(wheel.part, "");
  EXPECT_EQ(wheel.tyre.diameter_mm, 70);
  EXPECT_EQ(wheel.tyre.width_mm, 24);
  EXPECT_EQ(wheel.tyre.mass_g, 42);
  EXPECT_EQ(wheel.tyre.rate_n_per_mm, 5);
}

TEST(Linkage, AcrossOfALimitIsLessThanItsMost) {
  const auto limit = [](std::string_view keys) {
    return read_small_model_with("[linkage.arm.limit.strap]\nfrom = \"chassis.seat\"\nto = \"arm.axle\"\n" +
                                 std::string(keys));
  };
  EXPECT_TRUE(limit("max = 5\nacross = 4.5").model);
  EXPECT_TRUE(limit("min = 5\nacross = 6").model);  // such a limit never acts, which is no contradiction
  ASSERT_FALSE(limit("max = 5\nacross = 5").problems.empty());
  EXPECT_EQ(limit("max = 5\nacross = 5").problems[0].text,
            "'across' of limit 'strap' is 5 modules (40 mm), but must be less than its length, 40 mm");
}

TEST(Linkage, ABandMayLieFurtherAcrossThanItIsLongWhenSlack) {
  EXPECT_TRUE(read_small_model_with("[linkage.arm.spring.band]\nkind = \"band\"\nfree_mm = 20\nrate_n_per_mm = 0.1\n"
                                    "from = \"chassis.seat\"\nto = \"arm.axle\"\nacross = 3\n")
                  .model);
}

}  // namespace
}  // namespace ridepitch
