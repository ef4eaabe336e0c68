// How many freedoms a linkage has, counted by the Grübler-Kutzbach formula and by the rank of its constraints.
// Source of the counts: M = 3 (n - 1) - 2 j, any kinematics text.

#include <gtest/gtest.h>

#include <string>

#include "reference/linkages.hpp"

namespace ridepitch {
namespace {

void expect_freedoms(const Linkage& linkage, int freedoms) {
  const Assembly assembly = assembled(linkage);
  EXPECT_EQ(assembly.counted_freedoms, freedoms) << linkage.name << ", counted";
  EXPECT_EQ(assembly.mechanism.freedoms(), freedoms) << linkage.name << ", by rank";
  EXPECT_TRUE(assembly.redundant.empty()) << linkage.name;
}

TEST(Mobility, OfKnownMechanismsIsOneBothWays) {
  expect_freedoms(textbook_four_bar(), 1);             // n = 4, j = 4
  expect_freedoms(slider_crank(40, 120, -20, 60), 1);  // n = 4, j = 4, one of them a slide
  Linkage watt = textbook_four_bar(), stephenson = textbook_four_bar(45);
  add_second_four_bar(watt, 91);
  add_stephenson_links(stephenson, Vec2(115, 150));
  expect_freedoms(watt, 1);                // n = 6, j = 7
  expect_freedoms(stephenson, 1);          // n = 6, j = 7
  expect_freedoms(peaucellier(40), 1);     // n = 8, j = 10: pins through three links count twice
  expect_freedoms(andrews_squeezer(), 1);  // n = 8, j = 10
  expect_freedoms(walking_leg(), 1);       // n = 8, j = 10
}

TEST(Mobility, OfAFiveBarIsTwo) {  // n = 5, j = 5
  Linkage linkage;
  linkage.name = "five-bar";
  const Vec2 A(-20, 40), B(40, 90), C(100, 40);
  add_body(linkage, "chassis", {{"left", Vec2(0, 0)}, {"right", Vec2(80, 0)}});
  add_body(linkage, "one", {{"O", Vec2(0, 0)}, {"A", Vec2(A.norm(), 0)}}, {{"A", A}});
  add_body(linkage, "two", {{"A", Vec2(0, 0)}, {"B", Vec2((B - A).norm(), 0)}}, {{"B", B}});
  add_body(linkage, "three", {{"B", Vec2(0, 0)}, {"C", Vec2((C - B).norm(), 0)}}, {{"C", C}});
  add_body(linkage, "four", {{"C", Vec2(0, 0)}, {"O", Vec2((C - Vec2(80, 0)).norm(), 0)}}, {{"C", C}});
  add_pin(linkage, {"chassis.left", "one.O"});
  add_pin(linkage, {"one.A", "two.A"});
  add_pin(linkage, {"two.B", "three.B"});
  add_pin(linkage, {"three.C", "four.C"});
  add_pin(linkage, {"chassis.right", "four.O"});
  expect_freedoms(linkage, 2);
}

TEST(Mobility, OfAPinnedTriangleIsNone) {  // n = 3, j = 3
  Linkage linkage;
  linkage.name = "triangle";
  add_body(linkage, "chassis", {{"left", Vec2(0, 0)}, {"right", Vec2(60, 0)}});
  add_body(linkage, "one", {{"foot", Vec2(0, 0)}, {"top", Vec2(50, 0)}}, {{"top", Vec2(30, 40)}});
  add_body(linkage, "two", {{"foot", Vec2(0, 0)}, {"top", Vec2(50, 0)}}, {{"top", Vec2(30, 40)}});
  add_pin(linkage, {"chassis.left", "one.foot"});
  add_pin(linkage, {"chassis.right", "two.foot"});
  add_pin(linkage, {"one.top", "two.top"});
  expect_freedoms(linkage, 0);
}

// Three equal cranks on one coupler: the formula gives 3 (5 - 1) - 2 * 6 = 0, but the third crank only says again what
// the other two say. The standard exception to the formula, any kinematics text.
TEST(Mobility, OfParallelCranksIsOneThoughTheFormulaSaysNone) {
  Linkage linkage;
  linkage.name = "parallel cranks";
  add_body(linkage, "chassis", {{"a", Vec2(0, 0)}, {"b", Vec2(40, 0)}, {"c", Vec2(90, 0)}});
  add_body(linkage, "coupler", {{"a", Vec2(0, 0)}, {"b", Vec2(40, 0)}, {"c", Vec2(90, 0)}},
           {{"a", Vec2(15, 26)}, {"c", Vec2(105, 26)}});
  for (const std::string name : {"a", "b", "c"}) {
    add_body(linkage, "crank-" + name, {{"foot", Vec2(0, 0)}, {"top", Vec2(30, 0)}});
    add_pin(linkage, {"chassis." + name, "crank-" + name + ".foot"});
    add_pin(linkage, {"coupler." + name, "crank-" + name + ".top"});
  }
  const Assembly assembly = assembled(linkage);
  EXPECT_EQ(assembly.counted_freedoms, 0);
  EXPECT_EQ(assembly.mechanism.freedoms(), 1);
  EXPECT_FALSE(assembly.redundant.empty());
}

}  // namespace
}  // namespace ridepitch
