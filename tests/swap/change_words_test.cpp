#include "swap/change_words.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "rigs/models.hpp"

namespace ridepitch {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;

struct Words : testing::Test {  // four corners on linkage 0, "arm", each with a pushrod and 2 coil-7-firm
  const Model model = demo("quarry-hauler");

  Changes read(const ChangeWords& words) const {
    const ReadChanges result = read_changes(model, words);
    for (const Problem& problem : result.problems) ADD_FAILURE() << problem.text;
    return result.changes;
  }
  Problem refused(const ChangeWords& words) const {
    const ReadChanges result = read_changes(model, words);
    EXPECT_EQ(result.problems.size(), 1u);
    EXPECT_THAT(result.changes, IsEmpty());
    return result.problems.empty() ? Problem{} : result.problems[0];
  }
};

TEST_F(Words, NameSpringsHolesAndRods) {
  EXPECT_EQ(read({.springs = {"rear left/main=coil-65-soft*3"}}), (Changes{SetSpring{0, 0, "coil-65-soft", 3}}));
  EXPECT_EQ(read({.holes = {"front right/chassis.seat=-4.5, +9"}}), (Changes{MoveHole{0, chassis, 2, Vec2(-36, 72)}}));
  EXPECT_EQ(read({.rods = {"rear left/pushrod=6.5"}}), (Changes{SetLength{0, 0, 52}}));
  EXPECT_EQ(read({.without = {"rear left/main"}}), (Changes{RemoveSpring{0, 0}}));
}

TEST_F(Words, ACountOrAPartThatIsNotNamedStays) {
  EXPECT_EQ(read({.springs = {"rear left/main=coil-65-soft"}}), (Changes{SetSpring{0, 0, "coil-65-soft", 2}}));
  EXPECT_EQ(read({.springs = {"rear left/main=*4"}}), (Changes{SetSpring{0, 0, "", 4}}));
}

TEST_F(Words, NamesMayHoldTheSignsOfTheForm) {
  Model odd = model;
  odd.linkages[0].springs[0].name = "a=b/c";
  odd.catalogue["coil*2"] = odd.catalogue.at("coil-65-soft");
  EXPECT_EQ(read_changes(odd, {.springs = {"rear left/a=b/c=coil*2"}}).changes,
            (Changes{SetSpring{0, 0, "coil*2", 2}}));
  EXPECT_EQ(read_changes(odd, {.springs = {"rear left/a=b/c=coil*2*5"}}).changes,
            (Changes{SetSpring{0, 0, "coil*2", 5}}));
  EXPECT_EQ(read_changes(odd, {.without = {"rear left/a=b/c"}}).changes, (Changes{RemoveSpring{0, 0}}));
}

TEST_F(Words, ABarIsNamedByItself) {
  const Model loader = demo("sand-loader");
  EXPECT_EQ(read_changes(loader, {.without = {"rear bar"}}).changes, (Changes{RemoveBar{0}}));
  EXPECT_EQ(read_changes(loader, {.without = {"raer bar"}}).problems.at(0).hint, "did you mean 'rear bar'?");
}

TEST_F(Words, TheWordAtFaultAndTheNearestKnownAreNamed) {
  const struct {
    ChangeWords words;
    const char *at_fault, *hint;
  } cases[] = {
      {{.springs = {"rear lefft/main=coil-65-soft"}}, "'rear lefft'", "did you mean 'rear left'?"},
      {{.springs = {"rear left/mian=coil-65-soft"}}, "'mian'", "did you mean 'main'?"},
      {{.springs = {"rear left/main=coil-65-sotf"}}, "'coil-65-sotf'", "did you mean 'coil-65-soft'?"},
      {{.springs = {"rear left/main=tyre-70"}}, "'tyre-70'", "a spring's part is a coil or a band"},
      {{.holes = {"rear left/chasis.seat=1,2"}}, "'chasis'", "did you mean 'chassis'?"},
      {{.holes = {"rear left/chassis.saet=1,2"}}, "'saet'", "did you mean 'seat'?"},
      {{.rods = {"rear left/push=7"}}, "'push'", "did you mean 'pushrod'?"},
      {{.without = {"rear left/band"}}, "'band'", "its springs: 'main'"},
      {{.without = {"bar"}}, "'bar'", "there are no bars"},
  };
  for (const auto& each : cases) {
    const Problem problem = refused(each.words);
    EXPECT_THAT(problem.text, HasSubstr(each.at_fault));
    EXPECT_EQ(problem.hint, each.hint) << each.at_fault;
  }
}

TEST_F(Words, NumbersThatAreNoneAreRefused) {
  for (const char* word : {"rear left/main=coil-65-soft*0", "rear left/main=coil-65-soft*1.5", "rear left/main=*",
                           "rear left/main=*-1", "rear left/main=*1001", "rear left/main=", "main=coil-65-soft"}) {
    EXPECT_NE(refused({.springs = {word}}).text, "") << word;
  }
  for (const char* word : {"rear left/chassis.seat=1", "rear left/chassis.seat=1,", "rear left/chassis.seat=1,2,3",
                           "rear left/chassis.seat=1;2", "rear left/chassis.seat=1,1e9", "rear left/seat=1,2"}) {
    EXPECT_NE(refused({.holes = {word}}).text, "") << word;
  }
  for (const char* word :
       {"rear left/pushrod=", "rear left/pushrod=0", "rear left/pushrod=-3", "rear left/pushrod=six"}) {
    EXPECT_NE(refused({.rods = {word}}).text, "") << word;
  }
}

TEST_F(Words, AllThatIsWrongIsSaidAtOnce) {
  const ReadChanges result = read_changes(model, {.springs = {"a/b=c", "rear left/main=*3"}, .rods = {"d"}});
  EXPECT_EQ(result.problems.size(), 2u);
  EXPECT_EQ(result.changes.size(), 1u);
}

TEST_F(Words, AChangeIsToldWithWhatItWas) {
  EXPECT_EQ(change_words(model, SetSpring{0, 0, "coil-65-soft", 1}), "spring main: 2 coil-7-firm -> 1 coil-65-soft");
  EXPECT_EQ(change_words(model, MoveHole{0, chassis, 2, Vec2(-40, 0)}), "hole chassis.seat: [-4, 9] -> [-5, 0]");
  EXPECT_EQ(change_words(model, SetLength{0, 0, 52}), "rod pushrod: 6 -> 6.5 modules");
  EXPECT_EQ(change_words(model, RemoveSpring{0, 0}), "spring main: taken out");
}

struct SteeredWords : testing::Test {  // linkages wishbone, arm, steer; tie rods at [3, 4]; arm of a beam-9
  const Model model = shown_demo("bark-dumper");

  Problem refused(const ChangeWords& words) const {
    const ReadChanges result = read_changes(model, words);
    EXPECT_EQ(result.problems.size(), 1u);
    return result.problems.empty() ? Problem{} : result.problems[0];
  }
};

TEST_F(SteeredWords, NamePartsTyresAndHeights) {
  const ReadChanges read = read_changes(model, {.parts = {"rear right/arm=beam-11"},
                                                .tyres = {"front left/hub=tyre-84"},
                                                .heights = {"steering/right=2.5, +4"}});
  EXPECT_THAT(read.problems, IsEmpty());
  EXPECT_EQ(read.changes, (Changes{SetPart{1, 1, "beam-11"}, SetTyre{0, 0, "tyre-84"}, SetRodHeight{2, 1, {20, 32}}}));
}

TEST_F(SteeredWords, WhatCannotBeExchangedIsRefusedWithTheWayOut) {
  const struct {
    ChangeWords words;
    const char *at_fault, *hint;
  } cases[] = {
      {{.parts = {"rear left/amr=beam-11"}}, "'amr'", "did you mean 'arm'?"},
      {{.parts = {"rear left/arm=beam-111"}}, "'beam-111'", "did you mean 'beam-11'?"},
      {{.parts = {"rear left/arm=tyre-84"}}, "which is a tyre", "a body's part is a beam, or a part of kind other"},
      {{.parts = {"rear left/chassis=beam-9"}},
       "'chassis', which has none",
       "say in the file what it is made of: part = \"beam-9\""},
      {{.parts = {"front left/upright=beam-9"}},
       "is 'built' of beam-5 and beam-3",
       "exchange a part among several in the file itself"},
      {{.tyres = {"rear left/hub=tyre-85"}}, "'tyre-85'", "did you mean 'tyre-84'?"},
      {{.tyres = {"rear left/hub=beam-9"}}, "which is a beam", "a wheel's part is a tyre"},
      {{.tyres = {"steering/left=tyre-84"}},
       "the same as 'front left/hub'",
       "exchange it there, and both get it: --tyre \"front left/hub=tyre-84\""},
      {{.heights = {"rear left/pushrod=3,4"}},
       "'pushrod'",
       "a tie rod has an end on a body that carries a steered wheel"},
      {{.heights = {"steering/lefd=3,4"}}, "'lefd'", "did you mean 'left'?"},
      {{.heights = {"steering/left=3"}}, "'3' for heights", ""},
      {{.heights = {"steering/left=3,4,5"}}, "'3,4,5' for heights", ""},
  };
  for (const auto& each : cases) {
    const Problem problem = refused(each.words);
    EXPECT_THAT(problem.text, HasSubstr(each.at_fault));
    EXPECT_EQ(problem.hint, each.hint) << each.at_fault;
  }
}

TEST_F(SteeredWords, TellWhatItWasAndWhatToDo) {
  const SetPart part{1, 1, "beam-11"};
  const SetTyre tyre{0, 0, "tyre-84"};
  EXPECT_EQ(change_words(model, part), "part arm: beam-9 -> beam-11");
  EXPECT_EQ(builder_words(model, part), "take beam-11 for 'arm' instead of beam-9");
  EXPECT_EQ(change_words(model, tyre), "tyre hub: tyre-69 -> tyre-84");
  EXPECT_EQ(builder_words(model, tyre), "put tyre-84 on wheel 'hub' instead of tyre-69");
  const auto height = [](double from, double to) { return SetRodHeight{2, 0, {8 * from, 8 * to}}; };
  EXPECT_EQ(change_words(model, height(3, 4.5)), "height left: [3, 4] -> [3, 4.5]");
  EXPECT_EQ(builder_words(model, height(3, 4.5)), "raise rod 'left' half a hole at knuckle-left.arm");
  EXPECT_EQ(builder_words(model, height(2, 3)), "lower rod 'left' one hole at both ends");
  EXPECT_EQ(builder_words(model, height(2, 4.5)),
            "lower rod 'left' one hole at crank.left and raise rod 'left' half a hole at knuckle-left.arm");
  Model without = model;
  without.linkages[2].rods[0].height_mm = {};
  EXPECT_EQ(change_words(without, height(3, 4)), "height left: none -> [3, 4]");
  EXPECT_EQ(builder_words(without, height(3, 4)),
            "fit rod 'left' at a height of 3 modules at crank.left and 4 at knuckle-left.arm");
}

TEST_F(Words, AChangeIsAtEveryCornerOfItsLinkage) {
  EXPECT_THAT(corners_changed(model, SetLength{0, 0, 52}),
              ElementsAre("front left", "front right", "rear left", "rear right"));
  EXPECT_THAT(corners_changed(demo("sand-loader"), RemoveBar{0}), ElementsAre("rear left", "rear right"));
}

}  // namespace
}  // namespace ridepitch
