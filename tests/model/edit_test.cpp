#include "model/edit.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <signal.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include <filesystem>
#include <fstream>
#include <sstream>

#include "model/model_files.hpp"
#include "model/model_words.hpp"
#include "model/text_file.hpp"
#include "model/tune.hpp"
#include "rigs/files.hpp"
#include "rigs/models.hpp"

namespace ridepitch {
namespace {

using testing::Contains;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::Not;
using testing::UnorderedElementsAre;

// A line of nearly every kind that a builder's notes have. Two corners and their mirrors share the arm.
const std::string notes = R"(# Quarry hauler, rebuilt in spring.
format = 1
name   = "Hauler"     # as painted on the door
parts  = [
  "parts.toml",       # mine
]

# ---- The arm -------------------------------------------------

[linkage.arm]
plane = "side"

[linkage.arm.body]
chassis = { holes = { arm = [0, 0], rocker = [ 2,6 ], seat = [-4.0, +9.50] } }   # deck
  arm = {holes={root=[0,0],push=[5,0],axle=[8,0]},near={axle=[8,0]}}

# The rocker: moved twice already.
[ linkage . arm . body . "rocker".holes ]
root = [0, 0]
push = [
  3,    # u: three forward
  0,    # v
]
coil = [0, 3]
[linkage.arm.body.rocker.near]
push = [5, 6]
coil = [2, 9]

[[linkage.arm.pin]]
join = ["chassis.arm", "arm.root"]
[[linkage.arm.pin]]
join = ["chassis.rocker", "rocker.root"]

[linkage.arm.rod]
pushrod.from   = 'arm.push'
pushrod.to     = 'rocker.push'
pushrod.length = 6                # hole centre to hole centre
pushrod.part   = 'rod-6'

# Both coils came with the crane.
[linkage.arm.spring.main]
part   = 'coil-65-firm'
from   = "rocker.coil"
to     = "chassis.seat"

# The helper coil, wound at home.
[linkage.arm.spring.helper]
kind = "coil"           # wire 1.2 mm
# measured with the kitchen scale
free_mm = 70
solid_mm = 40
law = [
  [0, 0.5],   # just held
  [15, 3.5],
  [30, 7],
]
friction_n = 0.2
from = "arm.push"
to = "chassis.seat"
count = 2
# It may go one day.

# The wheel, at last.
[linkage.arm.wheel.hub]
at = "arm.axle"
part = "tyre-a"

[[mass]]
name = "all"
grams = 2400
at = [0, 0, 5]

[[corner]]
name = "front left"
linkage = "arm"
at = [10, 8, 4]
mirror = true

[[corner]]
name = "rear left"
linkage = "arm"
at = [-10, 8, 4]
flip = true
mirror = true

# The bar from the old machine.
[[bar]]
name = "rear bar"
ends = ["rear left/arm", "rear right/arm"]
rate_n_mm_per_deg = 12

[[bar]]
name = "front bar"
ends = ["front left/arm", "front right/arm"]
rate_n_mm_per_deg = 15

[tune]
corner = "rear left"

[[tune.vary]]
spring = "main"
count = [1, 2]

# While the helper is there.
[[tune.vary]]
spring = "helper"
count = [1, 2, 3]

[[tune.want]]
quantity = "spring_force_n"
of = "rear left/helper"
value = 2

[[tune.need]]
quantity = "bump_travel_mm"
of = "rear left/hub"
least = 8)";  // and no newline at its end

Model model_of(const std::string& text) { return read_rig(text, beside_good_ones); }

/// The text with the changes made; it must read as the changed model does.
std::string edited(const std::string& text, const Changes& changes) {
  const Model model = model_of(text);
  const EditedText result = edit_text(text, model, changes);
  for (const Problem& problem : result.problems) ADD_FAILURE() << problem.text << " " << problem.hint;
  if (result.problems.empty()) {
    EXPECT_EQ(words_of(model_of(result.text)), words_of(changed(model, changes)));
  }
  return result.text;
}

std::vector<std::string> lines(const std::string& text) {
  std::vector<std::string> result;
  std::istringstream in(text);
  for (std::string line; std::getline(in, line);) result.push_back(line);
  return result;
}

/// Lines that only the one or the other has, as "- old" and "+ new"; for texts that differ in a few places.
std::vector<std::string> difference(const std::string& before, const std::string& after) {
  const auto a = lines(before), b = lines(after);
  // Longest common subsequence, Wagner and Fischer, J. ACM 21 (1974) 168.
  std::vector<std::vector<std::size_t>> common(a.size() + 1, std::vector<std::size_t>(b.size() + 1, 0));
  for (std::size_t i = a.size(); i-- > 0;) {
    for (std::size_t j = b.size(); j-- > 0;) {
      common[i][j] = a[i] == b[j] ? common[i + 1][j + 1] + 1 : std::max(common[i + 1][j], common[i][j + 1]);
    }
  }
  std::vector<std::string> result;
  for (std::size_t i = 0, j = 0; i < a.size() || j < b.size();) {
    if (i < a.size() && j < b.size() && a[i] == b[j]) {
      ++i, ++j;
    } else if (i < a.size() && (j == b.size() || common[i + 1][j] >= common[i][j + 1])) {
      result.push_back("- " + a[i++]);
    } else {
      result.push_back("+ " + b[j++]);
    }
  }
  return result;
}

const Vec2 module_8(double u, double v) { return Vec2(u, v) * 8.0; }

// The linkage of the notes: bodies chassis, arm, rocker; springs main, helper.
const MoveHole seat_moved{0, 0, 2, module_8(-5, 8)};
const SetLength longer_rod{0, 0, 56};
const SetSpring two_hard{0, 0, "coil-65-hard", 2};
const SetSpring helper_bought{0, 1, "coil-75-soft", 1};
const RemoveSpring no_helper{0, 1};

TEST(EditText, WithoutChangesTheTextStaysAsItIs) {
  EXPECT_EQ(edited(notes, {}), notes);
  const Model model = model_of(notes);
  const Changes already = {MoveHole{0, 0, 2, module_8(-4, 9.5)}, SetLength{0, 0, 48},
                           SetSpring{0, 0, "coil-65-firm", 1}, SetSpring{0, 1, "", 2}};
  EXPECT_EQ(edited(notes, already), notes);
}

TEST(EditText, OnlyTheMovedCoordinatesDifferAndKeepTheirSpelling) {
  EXPECT_THAT(difference(notes, edited(notes, {seat_moved})),
              ElementsAre("- chassis = { holes = { arm = [0, 0], rocker = [ 2,6 ], seat = [-4.0, +9.50] } }   # deck",
                          "+ chassis = { holes = { arm = [0, 0], rocker = [ 2,6 ], seat = [-5.0, +8.00] } }   # deck"));
  EXPECT_THAT(difference(notes, edited(notes, {MoveHole{0, 0, 1, module_8(2, 6.5)}})),
              Contains(HasSubstr("rocker = [ 2,6.5 ], seat = [-4.0, +9.50]")));
  EXPECT_THAT(difference(notes, edited(notes, {MoveHole{0, 1, 1, module_8(4.25, 0)}})),
              ElementsAre("-   arm = {holes={root=[0,0],push=[5,0],axle=[8,0]},near={axle=[8,0]}}",
                          "+   arm = {holes={root=[0,0],push=[4.25,0],axle=[8,0]},near={axle=[8,0]}}"));
}

TEST(EditText, AListOverSeveralLinesKeepsItsComments) {
  EXPECT_THAT(
      difference(notes, edited(notes, {MoveHole{0, 2, 1, module_8(2, -1)}})),
      ElementsAre("-   3,    # u: three forward", "-   0,    # v", "+   2,    # u: three forward", "+   -1,    # v"));
}

TEST(EditText, ARodsPartFollowsItsLength) {
  EXPECT_THAT(
      difference(notes, edited(notes, {longer_rod})),
      ElementsAre("- pushrod.length = 6                # hole centre to hole centre", "- pushrod.part   = 'rod-6'",
                  "+ pushrod.length = 7                # hole centre to hole centre", "+ pushrod.part   = 'rod-7'"));
  // The catalogue has no rod of 6.5.
  EXPECT_THAT(
      difference(notes, edited(notes, {SetLength{0, 0, 52}})),
      ElementsAre("- pushrod.length = 6                # hole centre to hole centre", "- pushrod.part   = 'rod-6'",
                  "+ pushrod.length = 6.5                # hole centre to hole centre"));
}

// A hand-written machine that steers: the knuckles' tyres are those of the sprung wheels.
const std::string steered = R"(format = 1
name = "Steered"
parts = ["parts.toml"]

[linkage.arm]
plane = "side"
body.chassis.holes = { arm = [0, 0] }
body.arm = { part = "beam-9", holes = { root = [0, 0], axle = [8, 0] } }   # straight
pin = [{ join = ["chassis.arm", "arm.root"] }]
spring.main = { kind = "torsion", between = ["chassis", "arm"], rate_n_mm_per_deg = 30, free_deg = -40 }

# Wide ones, from the old machine.
[linkage.arm.wheel.hub]
at = "arm.axle"
diameter_mm = 69     # by the ruler
width_mm = 24
# weighed together
mass_g = 40

[linkage.steer]
plane = "top"

[linkage.steer.body]
chassis = { holes = { left = [0, 12], right = [0, -12], crank = [-5.5, 0] } }
knuckle-left = { holes = { king = [0, 0], arm = [-3, -1], hub = [0, 2] }, near = { hub = [0, 14] } }
knuckle-right = { holes = { king = [0, 0], arm = [-3, 1], hub = [0, -2] }, near = { hub = [0, -14] } }
crank = { holes = { pivot = [0, 0], left = [3, 1], right = [3, -1] }, near = { left = [-2.5, 1] } }

[[linkage.steer.pin]]
join = ["chassis.left", "knuckle-left.king"]
[[linkage.steer.pin]]
join = ["chassis.right", "knuckle-right.king"]
[[linkage.steer.pin]]
join = ["chassis.crank", "crank.pivot"]
name = "crank pivot"

[linkage.steer.rod]
left = { from = "crank.left", to = "knuckle-left.arm", length = 10, height = [3, +4.0] }  # over the arm
right = { from = "crank.right", to = "knuckle-right.arm", length = 10 }

[linkage.steer.drive]
pin = "crank pivot"
range_deg = [-26, 26]

[linkage.steer.wheel.left]
at = "knuckle-left.hub"
part = "tyre-a"   # as the other
ahead = [1, 0]
same_as = "front left/hub"
[linkage.steer.wheel.right]
at = "knuckle-right.hub"
part = "tyre-a"
ahead = [1, 0]
same_as = "front right/hub"

[[mass]]
name = "all"
grams = 2400
at = [0, 0, 5]

[[corner]]
name = "front left"
linkage = "arm"
at = [18, 14, 4]
mirror = true

[[corner]]
name = "rear left"
linkage = "arm"
at = [-18, 14, 4]
mirror = true

[[corner]]
name = "steering"
linkage = "steer"
at = [26, 0, 4]
)";

TEST(EditText, APartOfABodyIsExchangedInItsPlace) {
  EXPECT_THAT(
      difference(steered, edited(steered, {SetPart{0, 1, "beam-11"}, MoveHole{0, 1, 1, module_8(10, 0)}})),
      ElementsAre("- body.arm = { part = \"beam-9\", holes = { root = [0, 0], axle = [8, 0] } }   # straight",
                  "+ body.arm = { part = \"beam-11\", holes = { root = [0, 0], axle = [10, 0] } }   # straight"));
  EXPECT_EQ(edited(steered, {SetPart{0, 1, "beam-11"}, SetPart{0, 1, "beam-9"}}), steered);
}

TEST(EditText, ATyreWrittenInPlaceGivesWayToAPartAndTheSteeredWheelsFollow) {
  EXPECT_THAT(
      difference(steered, edited(steered, {SetTyre{0, 0, "tyre-84"}})),
      ElementsAre("- diameter_mm = 69     # by the ruler", "- width_mm = 24", "+ part = \"tyre-84\"     # by the ruler",
                  "- mass_g = 40", "- part = \"tyre-a\"   # as the other", "+ part = \"tyre-84\"   # as the other",
                  "- part = \"tyre-a\"", "+ part = \"tyre-84\""));
}

TEST(EditText, HeightsOfATieRodAreChangedOrAdded) {
  EXPECT_THAT(difference(steered, edited(steered, {SetRodHeight{1, 0, {24, 36}}})),
              ElementsAre(testing::EndsWith("length = 10, height = [3, +4.0] }  # over the arm"),
                          testing::EndsWith("length = 10, height = [3, +4.5] }  # over the arm")));
  EXPECT_THAT(difference(steered, edited(steered, {SetRodHeight{1, 1, {24, 36}}})),
              ElementsAre(testing::EndsWith("length = 10 }"), testing::EndsWith("length = 10, height = [3, 4.5] }")));
}

TEST(EditText, ACountThatWasNotThereIsAddedInTheMannerOfItsTable) {
  EXPECT_THAT(difference(notes, edited(notes, {two_hard})),
              ElementsAre("- part   = 'coil-65-firm'", "+ part   = 'coil-65-hard'", "+ count  = 2"));
  EXPECT_THAT(difference(notes, edited(notes, {SetSpring{0, 1, "", 1}})), ElementsAre("- count = 2", "+ count = 1"));
}

TEST(EditText, KeysInPlaceGiveWayToAPart) {
  EXPECT_THAT(
      difference(notes, edited(notes, {helper_bought})),
      ElementsAre("- kind = \"coil\"           # wire 1.2 mm", "+ part = \"coil-75-soft\"           # wire 1.2 mm",
                  "- free_mm = 70", "- solid_mm = 40", "- law = [", "-   [0, 0.5],   # just held", "-   [15, 3.5],",
                  "-   [30, 7],", "- ]", "- friction_n = 0.2", "- count = 2", "+ count = 1"));
}

TEST(EditText, ARemovedSpringTakesItsCommentsAndItsTuningAlong) {
  const auto gone = difference(notes, edited(notes, {no_helper}));
  EXPECT_THAT(gone, Contains("- # The helper coil, wound at home."));
  EXPECT_THAT(gone, Contains("- # It may go one day."));
  EXPECT_THAT(gone, Contains("- # While the helper is there."));
  EXPECT_THAT(gone, Contains("- of = \"rear left/helper\""));
  EXPECT_THAT(gone, Not(Contains(HasSubstr("The wheel, at last"))));
  EXPECT_THAT(gone, Not(Contains(HasSubstr("+ "))));
  const std::string after = edited(notes, {no_helper});
  EXPECT_THAT(after, HasSubstr("to     = \"chassis.seat\"\n\n# The wheel, at last.\n[linkage.arm.wheel.hub]"));
  EXPECT_THAT(after, HasSubstr("count = [1, 2]\n\n[[tune.need]]"));
}

TEST(EditText, WhatTuneSaysOfTheOtherSpringsStays) {
  const Model after = model_of(edited(notes, {RemoveSpring{0, 0}}));
  ASSERT_EQ(after.tune->vary.size(), 1u);
  EXPECT_EQ(std::get<VarySpring>(after.tune->vary[0].what).spring, 0);
  EXPECT_EQ(std::get<VarySpring>(after.tune->vary[0].what).counts, (std::vector<int>{1, 2, 3}));
  EXPECT_EQ(after.tune->wants.size(), 1u);
}

TEST(EditText, ABarIsRemovedWithItsTable) {
  EXPECT_THAT(
      difference(notes, edited(notes, {RemoveBar{0}})),
      UnorderedElementsAre("- # The bar from the old machine.", "- [[bar]]", "- name = \"rear bar\"",
                           "- ends = [\"rear left/arm\", \"rear right/arm\"]", "- rate_n_mm_per_deg = 12", "- "));
  EXPECT_THAT(model_of(edited(notes, {RemoveBar{0}, RemoveBar{1}, RemoveBar{0}})).bars, IsEmpty());
}

TEST(EditText, ManyChangesAtOnceAreAllMade) {
  const Changes all = {seat_moved, longer_rod, two_hard, no_helper, RemoveBar{1}, MoveHole{0, 2, 2, module_8(1, 3)}};
  const Model model = model_of(notes);
  const std::string after = edited(notes, all);
  EXPECT_THAT(after, HasSubstr("# Quarry hauler, rebuilt in spring.\n"));
  // A second thought counts.
  EXPECT_EQ(edited(notes, {longer_rod, SetLength{0, 0, 48}}), notes);
}

TEST(EditText, ThereAndBackIsTheSameText) {
  const std::string there = edited(notes, {seat_moved, longer_rod, SetSpring{0, 1, "", 3}});
  EXPECT_EQ(edited(there, {MoveHole{0, 0, 2, module_8(-4, 9.5)}, SetLength{0, 0, 48}, SetSpring{0, 1, "", 2}}), notes);
}

TEST(EditText, LineEndsAndByteOrderMarkStay) {
  const Changes all = {seat_moved, longer_rod, two_hard, helper_bought, RemoveBar{0}};
  const std::string mark = "\xEF\xBB\xBF";
  const std::string plain = edited(notes, all);
  EXPECT_EQ(edited(with_crlf(notes), all), with_crlf(plain));
  EXPECT_EQ(edited(mark + with_crlf(notes), all), mark + with_crlf(plain));
}

TEST(EditText, AValueInTheFirstLineBehindAByteOrderMarkIsFound) {
  const std::string mark = "\xEF\xBB\xBF";
  const std::string text = mark + "linkage.arm.spring.main.count = 2\n" + std::string(small_model);
  const std::string wanted = mark + "linkage.arm.spring.main.count = 3\n";
  std::string dotted = text;
  const std::string braces =
      "linkage.arm.spring.main = { kind = \"torsion\", between = [\"chassis\", \"arm\"], rate_n_mm_per_deg = 30, "
      "free_deg = -40 }";
  dotted.replace(
      dotted.find(braces), braces.size(),
      "linkage.arm.spring.main.kind = \"torsion\"\nlinkage.arm.spring.main.between = [\"chassis\", \"arm\"]\n"
      "linkage.arm.spring.main.rate_n_mm_per_deg = 30\nlinkage.arm.spring.main.free_deg = -40");
  EXPECT_THAT(edited(dotted, {SetSpring{0, 0, "", 3}}), testing::StartsWith(wanted));
}

TEST(EditText, TablesInBracesAreEditedWithinTheirLine) {
  std::string text(small_model);
  text.insert(text.find("linkage.arm.wheel.hub"),
              "linkage.arm.spring.own = { kind = \"coil\", free_mm = 70, \"solid_mm\" = 40 , rate_n_per_mm=0.5, "
              "from = \"arm.axle\", to = \"chassis.seat\", mass_g = 3 }  # wound at home\n");
  EXPECT_THAT(edited(text, {SetSpring{0, 1, "coil-75-soft", 2}}),
              HasSubstr("linkage.arm.spring.own = { part = \"coil-75-soft\", from = \"arm.axle\", "
                        "to = \"chassis.seat\", count = 2 }  # wound at home\n"));
  EXPECT_THAT(edited(text, {SetSpring{0, 0, "", 2}}), HasSubstr("free_deg = -40, count = 2 }\n"));
  // What is removed is one line: its comment stays.
  std::string without(small_model);
  without.insert(without.find("linkage.arm.wheel.hub"), "# wound at home\n");
  EXPECT_EQ(edited(text, {RemoveSpring{0, 1}}), without);
}

TEST(EditText, EverythingInOnePairOfBracesIsEditedToo) {
  const std::string text = R"(format = 1
name = "Arm"
parts = ["parts.toml"]
linkage = { arm = { plane = "side", body = { chassis.holes.arm = [0, 0], chassis.holes.seat = [0, 5], arm.holes = { root = [0, 0], axle = [8, 0] } }, pin = [{ join = ["chassis.arm", "arm.root"] }], spring.a.part = "coil-a", spring.a.from = "arm.axle", spring.a.to = "chassis.seat", spring.b = { part = "coil-b", from = "arm.axle", to = "chassis.seat" }, wheel = { hub = { at = "arm.axle", part = "tyre-a" } } } }
corner = [ { name = "rear", linkage = "arm", at = [0, 0, 0], load_n = 8 } ]
)";
  EXPECT_THAT(edited(text, {SetSpring{0, 0, "", 4}}),
              HasSubstr("spring.a.to = \"chassis.seat\", spring.a.count = 4, spring.b = {"));
  EXPECT_THAT(edited(text, {RemoveSpring{0, 0}}), HasSubstr("\"arm.root\"] }], spring.b = {"));
  EXPECT_THAT(edited(text, {RemoveSpring{0, 1}}), HasSubstr("spring.a.to = \"chassis.seat\", wheel = {"));
  EXPECT_THAT(edited(text, {MoveHole{0, 0, 1, module_8(1, 7)}}), HasSubstr("chassis.holes.seat = [1, 7], arm.holes"));
}

TEST(EditText, BarsInAListInBracketsAreRemovedFromIt) {
  const std::string listed = R"(bar = [
  # the old one
  { name = "rear bar", ends = ["rear left/arm", "rear right/arm"], rate_n_mm_per_deg = 12 },  # stiff
  { name = "front bar", ends = ["front left/arm", "front right/arm"], rate_n_mm_per_deg = 15 }
]
)";
  const std::string begin = "# The bar from the old machine.\n[[bar]]";
  std::string text = notes;
  const std::size_t from = text.find(begin), to = text.find("[tune]");
  text.erase(from, to - from);
  text.insert(text.find("parts  ="), listed);
  EXPECT_THAT(difference(text, edited(text, {RemoveBar{0}})),
              ElementsAre("-   # the old one", HasSubstr("-   { name = \"rear bar\""), "+   # stiff"));
  EXPECT_THAT(difference(text, edited(text, {RemoveBar{1}})), ElementsAre(HasSubstr("-   { name = \"front bar\"")));
  EXPECT_THAT(edited(text, {RemoveBar{0}, RemoveBar{1}}), HasSubstr("bar = [\n  # stiff\n]\n"));
}

// Nothing is written where the text would not say what is asked for.

TEST(EditText, APartThatDoesNotFitIsRefused) {
  const Model model = model_of(notes);
  for (const char* part : {"coil-65-frim", "tyre-a"}) {
    const EditedText result = edit_text(notes, model, {SetSpring{0, 0, part, 1}});
    ASSERT_EQ(result.problems.size(), 1u);
    EXPECT_THAT(result.problems[0].text, HasSubstr(part));
    EXPECT_EQ(result.text, "");
  }
  const Model torsion = model_of(std::string(small_model));
  EXPECT_EQ(edit_text(small_model, torsion, {SetSpring{0, 0, "coil-a", 1}}).problems.size(), 1u);
}

TEST(EditText, APartThatFitsNoBodyAndATyreThatIsNoneAreRefused) {
  const Model model = model_of(steered);
  for (const Changes& changes :
       {Changes{SetPart{0, 1, "beam-90"}}, Changes{SetPart{0, 1, "tyre-a"}}, Changes{SetPart{0, 1, "rod-6"}},
        Changes{SetTyre{0, 0, "beam-9"}}, Changes{SetTyre{0, 0, "none"}}})
    EXPECT_EQ(edit_text(steered, model, changes).problems.size(), 1u);
  Model built = model;
  built.linkages[0].bodies[1].part = "";
  built.linkages[0].bodies[1].built = {{.part = "beam-9"}};
  EXPECT_THAT(edit_text(steered, built, {SetPart{0, 1, "beam-11"}}).problems.at(0).hint, HasSubstr("'built'"));
}

TEST(EditText, ALengthThatTheFormatRefusesIsRefused) {
  const EditedText result = edit_text(notes, model_of(notes), {SetLength{0, 0, -8}});
  ASSERT_EQ(result.problems.size(), 1u);
  EXPECT_THAT(result.problems[0].text, HasSubstr("length"));
}

TEST(EditText, ATextThatHasChangedMeanwhileIsLeftAlone) {
  const Model model = model_of(notes);
  std::string other = notes;
  other.replace(other.find("spring.helper]"), 13, "spring.second");
  EXPECT_EQ(edit_text(other, model, {helper_bought}).problems.size(), 1u);
  EXPECT_EQ(edit_text("format = ", model, {helper_bought}).problems.size(), 1u);
}

// Files.

struct Copies : testing::Test {
  const std::string parts = read_file_text(source_path("tests/model/good/parts.toml"), true).text;
  Folder folder;
  const std::string source = (folder.write("models/parts.toml", parts), folder.write("models/hauler.toml", notes));
  const Model model = read_model(source).model.value_or(Model{});

  std::string text(const std::string& path) const { return read_file_text(path, true).text; }
};

TEST_F(Copies, ACopyBesideTheOriginalHasTheChange) {
  const std::string target = (folder.path / "models/copy.toml").string();
  EXPECT_THAT(write_edited_copy(model, {longer_rod}, target, false), IsEmpty());
  EXPECT_EQ(text(target), edited(notes, {longer_rod}));
  EXPECT_EQ(text(source), notes);
}

TEST_F(Copies, TheOriginalItselfMayBeTheTarget) {
  ASSERT_EQ(::chmod(source.c_str(), 0640), 0);
  EXPECT_THAT(write_edited_copy(model, {longer_rod}, source, false), IsEmpty());
  EXPECT_EQ(text(source), edited(notes, {longer_rod}));
  struct stat status {};
  ASSERT_EQ(::stat(source.c_str(), &status), 0);
  EXPECT_EQ(status.st_mode & 0777, 0640u);
}

TEST_F(Copies, InAnotherFolderThePathsLeadToTheSameFiles) {
  std::filesystem::create_directories(folder.path / "out/deep");
  const std::string target = (folder.path / "out/deep/copy.toml").string();
  EXPECT_THAT(write_edited_copy(model, {}, target, false), IsEmpty());
  EXPECT_THAT(difference(notes, text(target)),
              ElementsAre("-   \"parts.toml\",       # mine", "+   \"../../models/parts.toml\",       # mine"));
  EXPECT_EQ(words_of(read_model(target).model.value_or(Model{})), words_of(model));
}

TEST_F(Copies, WhereTheSameCatalogueLiesBesideTheTargetItsNameStays) {
  folder.write("out/parts.toml", parts);
  const std::string target = (folder.path / "out/copy.toml").string();
  EXPECT_THAT(write_edited_copy(model, {}, target, false), IsEmpty());
  EXPECT_EQ(text(target), notes);
  folder.write("out/parts.toml", parts + "# another one\n");
  EXPECT_EQ(write_edited_copy(model, {}, target, false).front().code, "exists");
  EXPECT_THAT(write_edited_copy(model, {}, target, true), IsEmpty());
  EXPECT_THAT(text(target), HasSubstr("\"../models/parts.toml\","));
}

TEST_F(Copies, ALinkIsFollowed) {
  const std::string link = (folder.path / "models/link.toml").string();
  std::filesystem::create_symlink("hauler.toml", link);
  EXPECT_THAT(write_edited_copy(model, {longer_rod}, link, false), IsEmpty());
  EXPECT_TRUE(std::filesystem::is_symlink(link));
  EXPECT_EQ(text(source), edited(notes, {longer_rod}));
}

TEST_F(Copies, WhatCanNotBeWrittenLeavesEverythingAsItWas) {
  const std::string nowhere = (folder.path / "no/such/folder/copy.toml").string();
  EXPECT_EQ(write_edited_copy(model, {longer_rod}, nowhere, false).size(), 1u);
  EXPECT_EQ(write_edited_copy(model, {SetSpring{0, 0, "no-such-coil", 1}}, source, false).size(), 1u);
  EXPECT_EQ(text(source), notes);
  EXPECT_THAT(folder.names(), ElementsAre("models"));
  EXPECT_EQ(std::distance(std::filesystem::directory_iterator(folder.path / "models"), {}), 2);
}

// Whoever kills the program between any two of its steps finds the old text or the new one.
TEST_F(Copies, AnInterruptedWriteLosesNothing) {
  const std::string after = edited(notes, {longer_rod});
  for (int microseconds = 0; microseconds < 4000; microseconds += 200) {
    const pid_t child = ::fork();
    if (child == 0) {
      for (;;) {
        write_edited_copy(*read_model(source).model, {longer_rod}, source, false);
        write_edited_copy(*read_model(source).model, {SetLength{0, 0, 48}}, source, false);
      }
    }
    ::usleep(static_cast<useconds_t>(microseconds));
    ::kill(child, SIGKILL);
    ::waitpid(child, nullptr, 0);
    const std::string found = text(source);
    EXPECT_TRUE(found == notes || found == after) << found;
    folder.write("models/hauler.toml", notes);
  }
}

}  // namespace
}  // namespace ridepitch
