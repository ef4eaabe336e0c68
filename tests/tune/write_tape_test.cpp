// What the closed form covers and what it refuses, each with its reason.

#include "tune/write_tape.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "rigs/models.hpp"
#include "rigs/texts.hpp"
#include "tune/candidates.hpp"

namespace ridepitch {
namespace {

using testing::HasSubstr;

/// An arm on the bench under a coil; `more` tables may change what hangs on it.
std::string arm_under(const std::string& spring, const std::string& more = "", const std::string& bodies = "") {
  return on_bench(arm({.seat = "[2, 8]",
                       .more = spring + more,
                       .bodies = bodies,
                       .chassis_holes = ", low = [3, -4]",
                       .tyre = "part = \"tyre-69\""}),
                  3);
}

const std::string firm_coil =
    "[linkage.l.spring.main]\npart = \"coil-85-firm\"\nfrom = \"arm.coil\"\nto = \"chassis.seat\"\n";

TEST(WriteTape, CoversAnArmUnderACoil) {
  const Taped t = taped(read_rig(arm_under(firm_coil)));
  ASSERT_TRUE(t.tape) << t.why_not;
  EXPECT_EQ(t.tape->tape.stand, tape_bench);
  EXPECT_EQ(t.tape->linkage, (std::vector<int>{0}));
  EXPECT_EQ(t.tape->station, (std::vector<int>{0}));
}

TEST(WriteTape, WritesMirrorImagesAsOneStation) {
  const Taped t = taped(demo("ore-hauler"));
  ASSERT_TRUE(t.tape) << t.why_not;
  EXPECT_EQ(t.tape->tape.stations, 2);
  EXPECT_EQ(t.tape->station[0], t.tape->station[1]);
  EXPECT_EQ(t.tape->station[2], t.tape->station[3]);
  EXPECT_EQ(t.tape->tape.stand, tape_two_axles);
  EXPECT_FALSE(t.tape->tape.rolls);
}

TEST(WriteTape, WritesEveryWheelWhereTheMassLiesToOneSide) {
  Model model = demo("ore-hauler");
  model.masses[0].at_mm.y() = 4;
  const Taped t = taped(std::move(model));
  ASSERT_TRUE(t.tape) << t.why_not;
  EXPECT_EQ(t.tape->tape.stations, 4);
  EXPECT_EQ(t.tape->tape.stand, tape_many);
  EXPECT_TRUE(t.tape->tape.rolls);
}

TEST(WriteTape, RefusesASpringThatTurns) {
  const Taped t =
      taped(read_rig(arm_under("[linkage.l.spring.main]\nkind = \"torsion\"\nbetween = [\"chassis\", "
                               "\"arm\"]\nrate_n_mm_per_deg = 12\nfree_deg = -30\n")));
  EXPECT_FALSE(t.tape);
  EXPECT_THAT(t.why_not, HasSubstr("'main' turns"));
}

TEST(WriteTape, RefusesASpringWithATable) {
  Model model = read_rig(arm_under(firm_coil));
  std::get<Coil>(model.linkages[0].springs[0].data).law = ForceTable{Vec2(0, 0), Vec2(100, 50)};
  std::string why;
  const SolveResult as_it_stands = solve_as_search(read_rig(arm_under(firm_coil)));
  ASSERT_TRUE(as_it_stands.solution);
  EXPECT_FALSE(write_tape(model, *as_it_stands.solution, why));
  EXPECT_THAT(why, HasSubstr("has a table"));
}

TEST(WriteTape, RefusesTwoWheelsOnOneLinkage) {
  const std::string beam =
      "beam = { holes = { hinge = [0, 0], ahead = [4, -0.5], behind = [-3.5, -0.5] }, near = { ahead = [12, -0.5] } "
      "}\n";
  const std::string more =
      "[[linkage.l.pin]]\njoin = [\"arm.axle\", \"beam.hinge\"]\n[linkage.l.wheel.ahead]\nat = \"beam.ahead\"\npart = "
      "\"tyre-69\"\n";
  const Taped t = taped(read_rig(arm_under(firm_coil, more, beam)));
  EXPECT_FALSE(t.tape);
  EXPECT_NE(t.why_not, "");
}

TEST(WriteTape, RefusesABarThatWorks) {
  Model model = demo("quarry-hauler");
  const SolveResult as_it_stands = solve_as_search(model);
  ASSERT_TRUE(as_it_stands.solution);
  Bar bar;
  bar.ends[0] = {0, 1};
  bar.ends[1] = {1, 1};
  std::string why;
  model.bars = {bar};
  EXPECT_TRUE(write_tape(model, *as_it_stands.solution, why))
      << "between left and right that do the same it does nothing: " << why;
  model.bars[0].free_rad = 0.1;
  EXPECT_FALSE(write_tape(model, *as_it_stands.solution, why));
  EXPECT_THAT(why, HasSubstr("anti-roll bar"));
  model.bars[0].free_rad = 0;
  model.bars[0].ends[1].corner = 2;
  EXPECT_FALSE(write_tape(model, *as_it_stands.solution, why));
  EXPECT_THAT(why, HasSubstr("anti-roll bar"));
}

TEST(Settings, FollowHolesRodsAndCoilsButNotAChangeOfKind) {
  const Taped t = taped(demo("quarry-hauler"));
  ASSERT_TRUE(t.tape) << t.why_not;
  const auto hole = settings(*t.tape, t.model, MoveHole{0, 0, 1, {12, 44}});
  ASSERT_TRUE(hole);
  ASSERT_EQ(hole->size(), 2u);
  EXPECT_EQ((*hole)[0].value, 12);
  EXPECT_EQ((*hole)[1].value, 44);
  const auto rod = settings(*t.tape, t.model, SetLength{0, 0, 52});
  ASSERT_TRUE(rod);
  ASSERT_EQ(rod->size(), 1u);
  EXPECT_EQ((*rod)[0].value, 52);
  const auto spring = settings(*t.tape, t.model, SetSpring{0, 0, "coil-9-firm", 3});
  ASSERT_TRUE(spring);
  const std::vector<double> numbers = {0.36, 1.0, 76, 50,
                                       3};  // rate, preload, free, solid length of tests/models/parts.toml; count
  ASSERT_EQ(spring->size(), numbers.size());
  for (std::size_t i = 0; i < numbers.size(); ++i) EXPECT_EQ((*spring)[i].value, numbers[i]) << i;
  std::string band;
  for (const auto& [name, part] : t.model.catalogue)
    if (std::holds_alternative<Band>(part.data)) band = name;
  ASSERT_NE(band, "");
  EXPECT_FALSE(settings(*t.tape, t.model, SetSpring{0, 0, band, 1}));
  EXPECT_FALSE(settings(*t.tape, t.model, RemoveSpring{0, 0}));
}

}  // namespace
}  // namespace ridepitch
