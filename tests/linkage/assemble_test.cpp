// Putting linkages together: which way is taken, and what is said where there is none or more than one.
// Places are closed forms (circles that meet, Grashof's rule); codes and faults are those of the format page.

#include "linkage/assemble.hpp"

#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <ctime>

#include "linkage/loops.hpp"
#include "rigs/texts.hpp"

namespace ridepitch {
namespace {

using testing::HasSubstr;

constexpr double closed_mm = 1e-9;

Problem only_problem(const AssembleResult& result) {
  EXPECT_FALSE(result.assembly.has_value());
  EXPECT_EQ(result.problems.size(), 1u);
  return result.problems.empty() ? Problem{} : result.problems.front();
}

TEST(Assemble, TakesTheSideThatItsHintsAreOn) {
  // 4 + 12 < 8 + 10 modules: Grashof, its two closures are apart. B lies above or below the line of A and O4.
  for (const int side : {1, -1}) {
    const Model model = written(four_bar(4, 12, 8, 10, fmt::format(", near = {{ b = [13, {}] }}", side * 7)));
    const AssembleResult result = assemble(model.linkages[0], model.module_mm);
    ASSERT_TRUE(result.assembly.has_value());
    EXPECT_LT(greatest_gap(result.assembly->mechanism, result.assembly->q), closed_mm);
    const Vec2 A = place_at(model.linkages[0], result.assembly->q, "crank.a"),
               B = place_at(model.linkages[0], result.assembly->q, "rocker.b");
    const Vec2 to_O4 = Vec2(80, 0) - A, to_B = B - A;
    EXPECT_GT(side * (to_O4.x() * to_B.y() - to_O4.y() * to_B.x()), 0);
  }
}

TEST(Assemble, MovesTheLinkageAlongItselfToWhereItsHintsAreNearest) {
  // The rocker's end can come to (80 + 64 cos, 64 sin): the nearest place to a hint on its circle is on the hint's own ray.
  const Model model = written(four_bar(4, 12, 8, 10, ", near = { b = [14.2, 7.1] }"));
  const AssembleResult result = assemble(model.linkages[0], model.module_mm);
  ASSERT_TRUE(result.assembly.has_value());
  const Vec2 ray = Vec2(14.2 * 8 - 80, 7.1 * 8).normalized();
  EXPECT_LT((place_at(model.linkages[0], result.assembly->q, "rocker.b") - (Vec2(80, 0) + 64 * ray)).norm(), 1e-5);
}

TEST(Assemble, RefusesTwoWaysThatAreAsNearAndGivesALineForEach) {
  const Model model = written(four_bar(4, 12, 8, 10));
  const Problem problem = only_problem(assemble(model.linkages[0], model.module_mm));
  EXPECT_EQ(problem.code, "ambiguous-assembly");
  EXPECT_EQ(problem.fault, Fault::text);
  EXPECT_THAT(problem.text, HasSubstr("'l'"));
  const std::size_t first = problem.hint.find("near = {"),
                    second = problem.hint.find("near = {", problem.hint.find("or "));
  EXPECT_NE(first, std::string::npos);
  EXPECT_NE(second, std::string::npos);
}

TEST(Assemble, TakesEitherLineThatItOffered) {
  // A hint on the chassis line is as near to both closures, which are mirror images of one another about it.
  const Model model = written(four_bar(4, 12, 8, 10, ", near = { b = [18, 0] }"));
  const Problem problem = only_problem(assemble(model.linkages[0], model.module_mm));
  ASSERT_EQ(problem.code, "ambiguous-assembly");
  const std::size_t at = problem.hint.find("rocker: near = {");
  ASSERT_NE(at, std::string::npos);
  const std::string line = problem.hint.substr(at + 8, problem.hint.find('}', at) - at - 7);
  const Model again = written(four_bar(4, 12, 8, 10, ", " + line));
  EXPECT_TRUE(assemble(again.linkages[0], again.module_mm).assembly.has_value()) << line;
}

TEST(Assemble, TakesALinkageWhoseTwoSidesAreOne) {
  // 4 + 12 > 7 + 8: not Grashof. Its one curve runs through both sides, so there is nothing to choose.
  const Model model = written(four_bar(7, 12, 8, 4));
  const AssembleResult result = assemble(model.linkages[0], model.module_mm);
  ASSERT_TRUE(result.assembly.has_value()) << result.problems.front().text;
  EXPECT_EQ(result.assembly->mechanism.freedoms(), 1);
}

TEST(Assemble, SaysHowFarTheEndsOfARodStayApart) {
  // Pins 200 mm apart, arms of 40 and 24 mm: their ends are 136 to 264 mm apart, the rod is 80 or 280 mm long.
  for (const auto& [rod, nearest] : {std::pair{10, "136 mm"}, std::pair{35, "264 mm"}}) {
    const Model model = written(fmt::format(R"(
[linkage.l]
plane = "side"
[linkage.l.body]
chassis = {{ holes = {{ a = [0, 0], b = [25, 0] }} }}
arm = {{ holes = {{ root = [0, 0], push = [5, 0] }}, near = {{ push = [5, 0] }} }}
rocker = {{ holes = {{ root = [0, 0], push = [3, 0] }}, near = {{ push = [22, 0] }} }}
[[linkage.l.pin]]
join = ["chassis.a", "arm.root"]
[[linkage.l.pin]]
join = ["chassis.b", "rocker.root"]
[linkage.l.rod.link]
from = "arm.push"
to = "rocker.push"
length = {}
[linkage.l.wheel.hub]
at = "arm.push"
part = "tyre-62"
)",
                                            rod));
    const Problem problem = only_problem(assemble(model.linkages[0], model.module_mm));
    EXPECT_EQ(problem.code, "does-not-go-together");
    EXPECT_EQ(problem.fault, Fault::no_solution);
    EXPECT_THAT(problem.text, HasSubstr(fmt::format("'link' is {} mm long", rod * 8)));
    EXPECT_THAT(problem.text, HasSubstr("'arm.push' and 'rocker.push'"));
    EXPECT_THAT(problem.text, HasSubstr(nearest));
  }
}

std::string arm_with_coil(const std::string& seat, double free_mm, double solid_mm, const std::string& bodies = "") {
  return arm(
      {.seat = seat, .more = coil("main", "arm.coil", "chassis.seat", free_mm, solid_mm, 0.5), .bodies = bodies});
}

TEST(Assemble, NamesTheCoilThatNeverFits) {
  // The coil's ends are 160 to 240 mm apart; it is 40 to 64 mm long.
  const Model model = written(arm_with_coil("[25, 0]", 64, 40));
  const Problem problem = only_problem(assemble(model.linkages[0], model.module_mm));
  EXPECT_EQ(problem.code, "never-fits");
  EXPECT_EQ(problem.fault, Fault::no_solution);
  EXPECT_THAT(problem.text, HasSubstr("'main free'"));
}

// Two arms with a coil between them; two straps hold the rear one. In modules; in mm its axle is at most 8 times `strap`
// from (-100, 36), at most 133.28 from (40, 0), and the coil is 60 to 103.3 long.
std::string two_strapped_arms(double strap) {
  return fmt::format(R"(
[linkage.l]
plane = "side"
[linkage.l.body]
chassis = {{ holes = {{ front = [5, 0], rear = [-5, 0], rstrap = [-12.5, 4.5] }} }}
farm = {{ holes = {{ root = [0, 0], top = [2, 6], axle = [9, 0] }}, near = {{ axle = [12, -1], top = [5, 4] }} }}
rarm = {{ holes = {{ root = [1, -1], top = [0, 4], axle = [-7, 0] }}, near = {{ axle = [-12, -1], top = [-5, 4] }} }}
[[linkage.l.pin]]
join = ["chassis.front", "farm.root"]
[[linkage.l.pin]]
join = ["chassis.rear", "rarm.root"]
[linkage.l.spring.shared]
from = "farm.top"
to = "rarm.top"
kind = "coil"
free_mm = 103.3
solid_mm = 60
rate_n_per_mm = 0.285
[linkage.l.limit.rear-strap]
from = "chassis.rstrap"
to = "rarm.axle"
max = {}
[linkage.l.limit.extra]
from = "chassis.front"
to = "rarm.axle"
max = 16.66
[linkage.l.wheel.front]
at = "farm.axle"
diameter_mm = 56
[linkage.l.wheel.rear]
at = "rarm.axle"
diameter_mm = 56
)",
                     strap);
}

TEST(Assemble, FindsAPlaceWithinStopsThatTheStraightPathFromTheHintsMisses) {
  const Model model = written(two_strapped_arms(7.08));
  const AssembleResult result = assemble(model.linkages[0], model.module_mm);
  ASSERT_TRUE(result.assembly.has_value()) << result.problems.front().text;
  const auto place = [&](const char* hole) { return place_at(model.linkages[0], result.assembly->q, hole); };
  constexpr double met_mm = 1e-6;
  EXPECT_LT((place("rarm.axle") - Vec2(-100, 36)).norm(), 8 * 7.08 + met_mm);
  EXPECT_LT((place("rarm.axle") - Vec2(40, 0)).norm(), 133.28 + met_mm);
  const double coil = (place("farm.top") - place("rarm.top")).norm();
  EXPECT_GT(coil, 60 - met_mm);
  EXPECT_LT(coil, 103.3 + met_mm);
}

TEST(Assemble, SaysThatASearchWithTwoFreedomsFoundNothingAndNotThatThereIsNothing) {
  // The axle is sqrt(65) modules from a pivot that is 8.75 from the strap's hole: never nearer to it than 0.68.
  const Model model = written(two_strapped_arms(0.5));
  const Problem problem = only_problem(assemble(model.linkages[0], model.module_mm));
  EXPECT_EQ(problem.code, "never-fits");
  EXPECT_EQ(problem.fault, Fault::no_solution);
  EXPECT_THAT(problem.text, HasSubstr("no place was found where 'rear-strap max'"));
  EXPECT_THAT(problem.text, HasSubstr("not all that there are"));
}

std::string chain(int bodies) {
  std::string text = "[linkage.l]\nplane = \"side\"\n[linkage.l.body]\nchassis = { holes = { b = [0, 0] } }\n", pins;
  for (int i = 1; i <= bodies; ++i) {
    text += fmt::format("b{} = {{ holes = {{ a = [0, 0], b = [2, 0] }}, near = {{ b = [{}, 0] }} }}\n", i, 2 * i);
    pins += fmt::format("[[linkage.l.pin]]\njoin = [\"{}.b\", \"b{}.a\"]\n",
                        i == 1 ? "chassis" : fmt::format("b{}", i - 1), i);
  }
  return text + pins + fmt::format("[linkage.l.wheel.hub]\nat = \"b{}.b\"\ndiameter_mm = 60\n", bodies);
}

TEST(Assemble,
     RefusesOverTwelveFreedomsAtOnce) {  // one for each body of a pinned chain; the bound is the format page's
  const Model twelve = written(chain(12));
  EXPECT_TRUE(assemble(twelve.linkages[0], twelve.module_mm).assembly.has_value());
  for (const int bodies : {13, 60}) {
    const Model model = written(chain(bodies));
    const std::clock_t start = std::clock();
    const Problem problem = only_problem(assemble(model.linkages[0], model.module_mm));
    EXPECT_LT(static_cast<double>(std::clock() - start) / CLOCKS_PER_SEC, 1);
    EXPECT_EQ(problem.code, "too-loose");
    EXPECT_EQ(problem.fault, Fault::text);
    EXPECT_THAT(problem.text, HasSubstr(fmt::format("has {} degrees of freedom, over 12", bodies)));
  }
}

TEST(Assemble, RefusesOverFortyMovingBodies) {  // of one freedom: arms side by side, each tied to the next by a rod
  std::string holes, bodies, ties;
  for (int i = 0; i <= 40; ++i) {
    holes += fmt::format("{}p{} = [{}, 0]", i ? ", " : "", i, 4 * i);
    bodies += fmt::format("b{} = {{ holes = {{ a = [0, 0], b = [0, 3] }} }}\n", i);
    ties += fmt::format("[[linkage.l.pin]]\njoin = [\"chassis.p{0}\", \"b{0}.a\"]\n", i);
    if (i > 0) ties += fmt::format("[linkage.l.rod.r{0}]\nfrom = \"b{1}.b\"\nto = \"b{0}.b\"\nlength = 4\n", i, i - 1);
  }
  const Model model = written("[linkage.l]\nplane = \"side\"\n[linkage.l.body]\nchassis = { holes = { " + holes +
                              " } }\n" + bodies + ties + "[linkage.l.wheel.hub]\nat = \"b0.b\"\ndiameter_mm = 60\n");
  const Problem problem = only_problem(assemble(model.linkages[0], model.module_mm));
  EXPECT_EQ(problem.code, "too-many-bodies");
  EXPECT_EQ(problem.fault, Fault::text);
  EXPECT_THAT(problem.text, HasSubstr("41 moving bodies, over 40"));
}

TEST(Assemble, TurnsAnArmUntilItsCoilFits) {
  // As hinted the coil's ends are 120 mm apart, and they are 40 to 120 mm apart over a turn: it is free at 64 mm.
  const Model model = written(arm_with_coil("[-10, 0]", 64, 40));
  const AssembleResult result = assemble(model.linkages[0], model.module_mm);
  ASSERT_TRUE(result.assembly.has_value());
  const double length = (place_at(model.linkages[0], result.assembly->q, "arm.coil") - Vec2(-80, 0)).norm();
  EXPECT_GE(length, 40 - 1e-6);
  EXPECT_LE(length, 64 + 1e-6);
}

TEST(Assemble, NamesAWheelThatItsTiesLock) {
  // A triangle of three pins: 3 (3 - 1) - 2 * 3 = 0.
  const Model model = written(R"(
[linkage.l]
plane = "side"
[linkage.l.body]
chassis = { holes = { a = [0, 0], b = [6, 0] } }
arm = { holes = { root = [0, 0], end = [5, 0] }, near = { end = [3, 4] } }
brace = { holes = { root = [0, 0], end = [5, 0] }, near = { end = [3, 4] } }
[[linkage.l.pin]]
join = ["chassis.a", "arm.root"]
[[linkage.l.pin]]
join = ["chassis.b", "brace.root"]
[[linkage.l.pin]]
join = ["arm.end", "brace.end"]
[linkage.l.wheel.hub]
at = "arm.end"
part = "tyre-62"
)");
  const Problem problem = only_problem(assemble(model.linkages[0], model.module_mm));
  EXPECT_EQ(problem.code, "no-freedom");
  EXPECT_EQ(problem.fault, Fault::text);
  for (const char* word : {"'hub'", "arm", "brace"}) EXPECT_THAT(problem.text, HasSubstr(word));
}

TEST(Assemble, NamesABodyThatNothingHolds) {
  const Model model = written(arm_with_coil("[5, 7]", 64, 40, "stray = { holes = { x = [0, 0] } }"));
  const Problem problem = only_problem(assemble(model.linkages[0], model.module_mm));
  EXPECT_EQ(problem.code, "held-by-nothing");
  EXPECT_EQ(problem.fault, Fault::text);
  EXPECT_THAT(problem.text, HasSubstr("'stray'"));
}

// A beam on three equal parallel links: 3 * 4 - 2 * 6 = 0 by count, yet it moves.
std::string parallel_links(double third_length) {
  return fmt::format(R"(
[linkage.l]
plane = "side"
[linkage.l.body]
chassis = {{ holes = {{ a = [0, 0], b = [4, 0], c = [8, 0] }} }}
one = {{ holes = {{ o = [0, 0], e = [6, 0] }}, near = {{ e = [6, 0] }} }}
two = {{ holes = {{ o = [0, 0], e = [6, 0] }}, near = {{ e = [10, 0] }} }}
three = {{ holes = {{ o = [0, 0], e = [{}, 0] }}, near = {{ e = [14, 0] }} }}
beam = {{ holes = {{ a = [0, 0], b = [4, 0], c = [8, 0] }}, near = {{ a = [6, 0], c = [14, 0] }} }}
[[linkage.l.pin]]
join = ["chassis.a", "one.o"]
[[linkage.l.pin]]
join = ["chassis.b", "two.o"]
[[linkage.l.pin]]
join = ["chassis.c", "three.o"]
[[linkage.l.pin]]
join = ["one.e", "beam.a"]
[[linkage.l.pin]]
join = ["two.e", "beam.b"]
[[linkage.l.pin]]
join = ["three.e", "beam.c"]
[linkage.l.wheel.hub]
at = "beam.c"
part = "tyre-62"
)",
                     third_length);
}

TEST(Assemble, AcceptsParallelLinksAndNamesWhatIsRedundant) {
  // Links that point along the line of their pins would be at a change point, so they are hinted to hang.
  std::string tables = parallel_links(6);
  for (const auto& [from, to] : {std::pair{"e = [6, 0] } }\ntwo", "e = [0, -6] } }\ntwo"},
                                 std::pair{"e = [10, 0]", "e = [4, -6]"}, std::pair{"e = [14, 0]", "e = [8, -6]"},
                                 std::pair{"a = [6, 0], c = [14, 0] } }", "a = [0, -6], c = [8, -6] } }"}}) {
    const std::size_t at = tables.find(from);
    ASSERT_NE(at, std::string::npos) << from;
    tables.replace(at, std::string(from).size(), to);
  }
  const Model model = written(tables);
  const AssembleResult result = assemble(model.linkages[0], model.module_mm);
  ASSERT_TRUE(result.assembly.has_value()) << result.problems.front().text;
  EXPECT_EQ(result.assembly->counted_freedoms, 0);
  EXPECT_EQ(result.assembly->mechanism.freedoms(), 1);
  EXPECT_EQ(result.assembly->redundant.size(), 6u);  // any one of the six pins says something twice
  EXPECT_LT(greatest_gap(result.assembly->mechanism, result.assembly->q), closed_mm);
}

TEST(Assemble, GivesTheSameBitsEveryTime) {
  const Model model = written(rocker_arm());
  const AssembleResult one = assemble(model.linkages[0], model.module_mm),
                       other = assemble(model.linkages[0], model.module_mm);
  ASSERT_TRUE(one.assembly && other.assembly);
  EXPECT_EQ(one.assembly->q, other.assembly->q);
}

}  // namespace
}  // namespace ridepitch
