// What differs between two models, in a builder's words.

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "model/change.hpp"
#include "sheet/changes.hpp"
#include "sheet/sheets.hpp"

namespace ridepitch {
namespace {

using ::testing::ElementsAre;
using ::testing::HasSubstr;

std::vector<std::string> told(const SheetChanges& changes) {
  std::vector<std::string> out;
  for (const SheetChange& each : changes.list) out.push_back(each.thing + ": " + each.from + " -> " + each.to);
  return out;
}

// Expected values of the demos: read off a diff of the two files.
TEST(ChangesBetween, tell_the_gravel_tugs_rework_as_its_files_differ) {
  const SheetChanges changes =
      changes_between(printed_demo("gravel-tug").model, printed_demo("gravel-tug-rework").model);
  EXPECT_THAT(told(changes), ElementsAre("hole chassis.rocker: [2, 6] -> [3, 5]", "hole rocker.push: [3, 0] -> [4, -1]",
                                         "spring main: 2 coil-75-firm -> 3 coil-65-medium"));
  ASSERT_EQ(changes.pairs.size(), 1u) << "four corners share one linkage";
  EXPECT_EQ(changes.pairs[0].corners_after.size(), 4u);
  for (std::size_t i = 0; i < changes.list.size(); ++i) {
    EXPECT_EQ(changes.list[i].number, static_cast<int>(i) + 1);
    EXPECT_EQ(changes.list[i].at.size(), 4u);
  }
  EXPECT_THAT(changes.list[0].what_to_do, HasSubstr("Move the chassis hole 'rocker' one hole"));
}

TEST(ChangesBetween, tell_of_springs_that_come_and_go) {
  const Model &plain = printed_demo("log-skidder-plain").model, &banded = printed_demo("log-skidder-banded").model;
  EXPECT_THAT(told(changes_between(plain, banded)), ElementsAre("spring band:  -> 1 band-10-plain"));
  EXPECT_THAT(told(changes_between(banded, plain)), ElementsAre("spring band: 1 band-10-plain -> "));
  EXPECT_THAT(changes_between(plain, banded).list[0].what_to_do, HasSubstr("from lever.rod to aft-rocker.horn"));
}

TEST(ChangesBetween, tell_of_nothing_where_nothing_differs) {
  for (const char* name : {"gravel-tug", "scout-car", "peat-crab", "timber-forwarder", "trial-arm"})
    EXPECT_TRUE(changes_between(printed_demo(name).model, printed_demo(name).model).list.empty()) << name;
}

TEST(ChangesBetween, tell_of_rods_masses_tyres_places_and_bars) {
  const Model& before = printed_demo("gravel-tug").model;
  Model after = changed(before, {SetLength{0, 0, 7 * 8.0}});
  after.masses[0].kg = 0.65;
  after.masses.pop_back();
  after.linkages[0].wheels[0].part = "tyre-81";
  after.corners[0].at_mm.x() += 8;
  after.bars.push_back({"front bar", {}, 1, 0, {}});
  EXPECT_THAT(told(changes_between(before, after)),
              ElementsAre("rod pushrod: 6 modules -> 7 modules", "tyre of hub: tyre-69 -> tyre-81",
                          "linkage of front left: at [11, 8, 3] -> at [12, 8, 3]",
                          "mass motor and gears: 600 g at [9, 0, 5] -> 650 g at [9, 0, 5]",
                          "mass cab: 420 g at [-3, 0, 10] -> ", HasSubstr("anti-roll bar front bar:  -> ")));
}

TEST(ChangesBetween, tell_of_a_hole_that_something_new_needs_and_of_a_part_that_has_other_figures) {
  const Model& before = printed_demo("gravel-tug").model;
  Model after = before;
  after.linkages[0].bodies[0].holes.push_back({"strap", Vec2(8, 40), {}});
  std::get<Coil>(after.linkages[0].springs[0].data).rate_n_per_mm *= 2;
  const SheetChanges changes = changes_between(before, after);
  EXPECT_THAT(told(changes),
              ElementsAre("hole chassis.strap:  -> [1, 5]", "spring main: 2 coil-75-firm -> 2 coil-75-firm"));
  EXPECT_EQ(changes.list[1].what_to_do, "Spring 'main' has other figures than before, under the same name.");
  EXPECT_EQ(changes.list[0].what_to_do, "On 'chassis' take the hole at [1, 5] for 'strap'.");
}

TEST(ChangesBetween, count_in_modules_whatever_a_module_is) {
  const Model& before = printed_demo("gravel-tug").model;
  Model after = before;
  after.module_mm = 10;
  for (Linkage& linkage : after.linkages) {
    for (Body& body : linkage.bodies)
      for (Hole& hole : body.holes) hole.p_B *= 10 / 8.0;
    for (Rod& rod : linkage.rods) rod.length_mm *= 10 / 8.0;
  }
  for (const SheetChange& each : changes_between(before, after).list)
    EXPECT_TRUE(each.kind == ChangedThing::elsewhere) << each.thing;
}

}  // namespace
}  // namespace ridepitch
