// Slices of whole linkages and what is told of them. Expected slices, depths and lengths were worked out by hand on squared
// paper; the rules are those of docs/model-format.md, "Slices across the plane".

#include "stack/stacks.hpp"

#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "model/index.hpp"
#include "model/read.hpp"
#include "rigs/models.hpp"
#include "rigs/rest.hpp"
#include "stack/pins.hpp"

namespace ridepitch {
namespace {

using testing::HasSubstr;

/// A level arm of three holes under an upright coil, on the bench; a wheel of 62 mm at its end.
struct Rig {
  std::string arm = {};                            ///< further keys of the arm
  std::string coil = "diameter_mm = 6";            ///< further keys of the coil; count 1
  std::string more = {};                           ///< further tables
  std::string seat = "[5, 8]", on_arm = "[5, 0]";  ///< of the coil
};

std::string text_of(const Rig& rig) {
  return fmt::format(R"(format = 1
name = "rig"
[linkage.l]
plane = "side"
[linkage.l.body]
chassis = {{ holes = {{ root = [0, 0], seat = {} }} }}
arm = {{ holes = {{ root = [0, 0], coil = {}, axle = [8, 0] }}, near = {{ axle = [8, 0] }}{} }}
[[linkage.l.pin]]
join = ["chassis.root", "arm.root"]
[linkage.l.spring.main]
kind = "coil"
from = "arm.coil"
to = "chassis.seat"
free_mm = 70
solid_mm = 50
rate_n_per_mm = 1
{}
[linkage.l.wheel.hub]
at = "arm.axle"
part = "tyre-62"
{}
[[corner]]
name = "c"
linkage = "l"
at = [0, 8, 4]
load_n = 3
)",
                     rig.seat, rig.on_arm, rig.arm, rig.coil, rig.more);
}

struct Found {
  Model model;
  Stacks stacks;
};

/// @param width_mm  of the tyre
Found found_in(const Rig& rig, double width_mm = 8, double out_modules = 4) {
  Model model = read_rig(text_of(rig));
  for (Linkage& linkage : model.linkages)
    for (Wheel& wheel : linkage.wheels) {
      wheel.tyre = {.diameter_mm = 62, .width_mm = width_mm, .mass_g = 0, .rate_n_per_mm = {}};
      wheel.out_mm = out_modules * model.module_mm;
    }
  Stacks stacks = find_stacks(model, solved(model));
  return {std::move(model), std::move(stacks)};
}

const StackedPart& part(const Found& found, const std::string& name) {
  const StackedPart* there = named(found.stacks.linkages.at(0).parts, name);
  if (!there) throw std::runtime_error("no part " + name);
  return *there;
}

TEST(Stacks, put_the_arm_in_its_plane_and_the_coil_beside_it_on_the_inner_side) {
  const Found found = found_in({});
  const LinkageStack& stack = found.stacks.linkages.at(0);
  EXPECT_TRUE(stack.complete);
  EXPECT_EQ(stack.width, 2);
  EXPECT_EQ(part(found, "arm").first, 0);
  EXPECT_EQ(part(found, "main").first, -1);  // first in file order comes the arm, then the coil as far in as it can be
  EXPECT_TRUE(found.stacks.findings.empty());
}

TEST(Stacks, give_a_coil_as_many_slices_as_it_is_wide) {
  // 13 mm are 1.6 modules of 8 mm, so two slices; two of them side by side 26 mm, 3.25 modules, four.
  EXPECT_EQ(found_in({.coil = "diameter_mm = 13"}).stacks.linkages.at(0).width, 3);
  EXPECT_EQ(found_in({.coil = "diameter_mm = 13\ncount = 2"}).stacks.linkages.at(0).width, 5);
  EXPECT_EQ(found_in({.coil = "diameter_mm = 16\ncount = 2"}).stacks.linkages.at(0).width, 5);
}

TEST(Stacks, keep_an_arm_out_of_its_own_tyre) {
  // The tyre fills -1.5 to 1.5: the nearest whole slice inside it is -2 (from -2.5 to -1.5).
  const Found found = found_in({}, 24, 0);
  EXPECT_EQ(part(found, "arm").first, -2);
  EXPECT_EQ(part(found, "main").first, -3);
}

TEST(Stacks, keep_given_layers_and_find_the_others) {
  const Found found = found_in({.coil = "diameter_mm = 6\nlayer = 2"});
  EXPECT_EQ(part(found, "main").first, 2);
  EXPECT_TRUE(part(found, "main").given);
  EXPECT_EQ(part(found, "arm").first, 1);  // beside it, on the side of the plane
  EXPECT_EQ(found.stacks.linkages.at(0).width, 2);
}

TEST(Stacks, keep_out_of_boxes_where_they_stand) {
  // The box covers the arm in the plane and 0.6 to 1.4 modules outward of the corner at y = 8: slice 1 is taken, and of
  // slices 0 and -1 the arm has the nearer one.
  const std::string box = "[[keepout]]\nname = \"box\"\nat = [4, 9, 4]\nsize = [4, 0.8, 2]\n";
  EXPECT_EQ(part(found_in({.more = box}), "arm").first, 0);
  const std::string on_plane = "[[keepout]]\nname = \"box\"\nat = [4, 8.2, 4]\nsize = [4, 0.8, 2]\n";
  EXPECT_EQ(part(found_in({.more = on_plane}), "arm").first, -1);
}

TEST(Stacks, know_outward_by_the_side_of_the_corner) {
  // The same box between the plane and the vehicle's middle, seen from the right side.
  std::string text = text_of({.more = "[[keepout]]\nname = \"box\"\nat = [4, -8.2, 4]\nsize = [4, 0.8, 2]\n"});
  text.replace(text.find("at = [0, 8, 4]"), 14, "at = [0, -8, 4]");
  Model model = read_rig(text);
  model.linkages[0].wheels[0].tyre.width_mm = 8;
  model.linkages[0].wheels[0].out_mm = 32;
  const Stacks stacks = find_stacks(model, solved(model));
  // 0.2 modules outward of the plane again: slices 0 and 1 are taken.
  EXPECT_EQ(named(stacks.linkages.at(0).parts, "arm")->first, -1);
}

TEST(Stacks, that_can_not_be_are_told_with_what_is_in_the_way) {
  // A width of 1 holds the arm or the coil, which share a joint.
  const Found found = found_in({.more = "[build]\nwidth = 1\n"});
  ASSERT_EQ(found.stacks.findings.size(), 1u);
  const Finding& finding = found.stacks.findings[0];
  EXPECT_EQ(finding.code, "does-not-stack");
  EXPECT_EQ(finding.level, Level::problem);
  EXPECT_EQ(finding.where, "l");
  EXPECT_THAT(finding.text, HasSubstr("no place for body 'arm' and spring 'main' beside each other"));
  EXPECT_THAT(finding.remedy, HasSubstr("'width = 2' of [build] would hold them"));
  EXPECT_FALSE(found.stacks.linkages.at(0).complete);
}

TEST(Stacks, tell_how_deep_a_part_of_a_given_layer_runs_into_its_tyre) {
  // Beam radius 3.9 mm, tyre 31 mm; the arm ends in the middle of the tyre: 34.9 mm.
  const Found found = found_in({.arm = ", layer = 0"}, 24, 0);
  ASSERT_EQ(found.stacks.findings.size(), 1u);
  const Finding& finding = found.stacks.findings[0];
  EXPECT_EQ(finding.code, "parts-touch");
  EXPECT_EQ(finding.where, "c");
  EXPECT_THAT(finding.text, HasSubstr("body 'arm' (layer 0) and tyre 'hub' run 34.9 mm into each other at rest"));
  EXPECT_THAT(finding.remedy, HasSubstr("put body 'arm' on layer -2"));
}

TEST(Stacks, tell_of_an_axle_that_passes_through_a_given_part) {
  // The coil stands one module behind the hub: 8 mm, less than its radius of 6.5 and the axle's of 2.4. It fills slices 2
  // and 3, between the arm and the tyre.
  const Found found = found_in(
      {.arm = ", layer = 0", .coil = "diameter_mm = 13\nlayer = 2", .seat = "[9, 8]", .on_arm = "[9, 0]"}, 8, 5);
  ASSERT_EQ(found.stacks.findings.size(), 1u);
  EXPECT_EQ(found.stacks.findings[0].code, "parts-touch");
  EXPECT_THAT(found.stacks.findings[0].text, HasSubstr("the axle at 'arm.axle', from body 'arm' to tyre 'hub', runs "));
  EXPECT_THAT(found.stacks.findings[0].text, HasSubstr("mm into spring 'main'"));
}

TEST(Stacks, stand_between_the_walls_of_a_frame_that_the_chassis_is_built_of) {
  Model model = read_rig(text_of({}));
  Piece frame{"other"};
  frame.holes = {{-1, 0}, {0, 0}, {1, 0}};
  frame.walls = {0, 3};
  model.catalogue["frame"] = {"frame", frame, {}};
  model.linkages[0].bodies[0].part = "frame";
  model.linkages[0].wheels[0].tyre.width_mm = 8;
  model.linkages[0].wheels[0].out_mm = 32;
  const Stacks stacks = find_stacks(model, solved(model));
  const LinkageStack& stack = stacks.linkages.at(0);
  // The frame takes four slices, and arm and coil the two between its walls: nothing narrower is.
  EXPECT_EQ(stack.width, 4);
  const StackedPart &chassis_part = *named(stack.parts, "chassis"), &arm = *named(stack.parts, "arm"),
                    &coil = *named(stack.parts, "main");
  EXPECT_EQ(chassis_part.last - chassis_part.first, 3);
  EXPECT_EQ(arm.first, 0);
  EXPECT_GT(arm.first, chassis_part.first);
  EXPECT_LT(arm.first, chassis_part.last);
  EXPECT_EQ(std::abs(coil.first - arm.first), 1);
}

TEST(Pins, reach_from_the_innermost_face_to_the_outermost) {
  const Found found = found_in({.coil = "diameter_mm = 13\ncount = 2"});
  const std::vector<NeededPin>& pins = found.stacks.linkages.at(0).pins;
  const auto at_joint = [&](const std::string& name) {
    for (const NeededPin& pin : pins)
      if (pin.joint == name) return pin;
    throw std::runtime_error("no pin at " + name);
  };
  // The arm of one module, and one for the chassis that does not say where it lies: a smooth pin of 2.
  EXPECT_DOUBLE_EQ(at_joint("chassis.root").needed, 2);
  EXPECT_TRUE(at_joint("chassis.root").meets_free);
  EXPECT_EQ(at_joint("chassis.root").part, "pin-2-smooth");
  // Arm at 0 (-0.5 to 0.5), coils in slices -4 to -1: 3.25 modules in the middle of four, from -4.125 on. 4.625 modules;
  // smooth pins end at 4, so an axle of 5.
  EXPECT_DOUBLE_EQ(at_joint("arm.coil").needed, 4.625);
  EXPECT_EQ(at_joint("arm.coil").part, "axle-5");
  // From the arm's inner face at -0.5 to the tyre's outer one at 4.5.
  EXPECT_TRUE(at_joint("hub").axle);
  EXPECT_DOUBLE_EQ(at_joint("hub").needed, 5);
  EXPECT_EQ(at_joint("hub").part, "axle-5");
  const auto counts = joint_parts(found.model, found.stacks);
  const std::vector<std::pair<std::string, int>> expected = {{"axle-5", 3}, {"pin-2-smooth", 1}};
  EXPECT_EQ(counts, expected);
}

}  // namespace
}  // namespace ridepitch
