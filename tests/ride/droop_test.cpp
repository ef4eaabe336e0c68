// Full droop, by docs/model-format.md, "Travel". Places are triangles of known sides (cosine rule).

#include "ride/droop.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>

#include "linkage/assemble.hpp"
#include "rigs/models.hpp"
#include "rigs/rest.hpp"
#include "rigs/texts.hpp"

namespace ridepitch {
namespace {

using testing::HasSubstr;

/// Angle at the corner between sides a and b of a triangle whose third side is c.
double cosine_rule(double a, double b, double c) { return std::acos((a * a + b * b - c * c) / (2 * a * b)); }

struct Hung {
  Model model;
  Assembly assembly;
  DroopResult droop;
};

Hung hung(const std::string& tables) {
  Hung out{on_tyres(read_rig(on_bench(tables, 1))), {}, {}};
  AssembleResult result = assemble(out.model.linkages[0], out.model.module_mm);
  EXPECT_TRUE(result.assembly.has_value());
  out.assembly = *result.assembly;
  out.droop = find_droop(out.assembly);
  return out;
}

// Root (0, 0), seat (32, 60) at 68 mm, coil hole at 40 mm, axle at 64 mm, coil 64 mm long when free.
constexpr double seat_mm = 68;
const double hanging_rad = std::atan2(60, 32) - cosine_rule(40, seat_mm, 64);

TEST(Droop, OfAnArmIsWhereItsCoilIsFree) {
  const Hung h = hung(arm({.seat = "[4, 7.5]", .more = coil("main", "arm.coil", "chassis.seat", 64, 44, 0.5)}));
  ASSERT_TRUE(h.droop.droop.has_value());
  EXPECT_NEAR(h.droop.droop->height_mm[0], 64 * std::sin(hanging_rad), 1e-9);
  EXPECT_EQ(h.droop.droop->end[0], "main free");
}

TEST(Droop, OfAWalkingBeamIsLevel) {
  // The beam's wheels are 0.5 module under its hinge and at different distances from it: level is the beam unturned.
  const std::string tables = arm({.seat = "[4, 7.5]",
                                  .more = coil("main", "arm.coil", "chassis.seat", 64, 44, 0.5) +
                                          "[[linkage.l.pin]]\njoin = [\"arm.axle\", \"beam.hinge\"]\n"
                                          "[linkage.l.wheel.ahead]\nat = \"beam.ahead\"\npart = \"tyre-62\"\n"
                                          "[linkage.l.wheel.behind]\nat = \"beam.behind\"\npart = \"tyre-62\"\n",
                                  .bodies = "beam = { holes = { hinge = [0, 0], ahead = [4, -0.5], behind = [-3, -0.5] "
                                            "}, near = { ahead = [12, 1] } }"});
  std::string without_hub = tables;
  const std::string hub = "[linkage.l.wheel.hub]\nat = \"arm.axle\"\npart = \"tyre-62\"\n";
  without_hub.erase(without_hub.find(hub), hub.size());
  const Hung h = hung(without_hub);
  ASSERT_TRUE(h.droop.droop.has_value());
  const double level = 64 * std::sin(hanging_rad) - 4;
  EXPECT_NEAR(h.droop.droop->height_mm[0], level, 1e-7);
  EXPECT_NEAR(h.droop.droop->height_mm[1], level, 1e-7);
}

TEST(Droop, OfAnArmOnAStrapIsWhereTheStrapIsTight) {  // no spring at all: it falls to the lowest place
  const Hung h = hung(arm(
      {.seat = "[4, 7.5]", .more = "[linkage.l.limit.strap]\nfrom = \"chassis.seat\"\nto = \"arm.coil\"\nmax = 10\n"}));
  ASSERT_TRUE(h.droop.droop.has_value());
  EXPECT_NEAR(h.droop.droop->height_mm[0], 64 * std::sin(std::atan2(60, 32) - cosine_rule(40, seat_mm, 80)), 1e-7);
  EXPECT_EQ(h.droop.droop->end[0], "strap max");
}

TEST(Droop, OfAnArmOnASlackBandIsWhereTheBandBeginsToPull) {
  const Hung h = hung(arm({.seat = "[4, 7.5]",
                           .more = "[linkage.l.spring.band]\nkind = \"band\"\nfree_mm = 80\nrate_n_per_mm = 0.2\n"
                                   "from = \"chassis.seat\"\nto = \"arm.coil\"\n"}));
  ASSERT_TRUE(h.droop.droop.has_value());
  EXPECT_NEAR(h.droop.droop->height_mm[0], 64 * std::sin(std::atan2(60, 32) - cosine_rule(40, seat_mm, 80)), 1e-5);
}

TEST(Droop, BetweenTwoSpringsIsWhereTheirPushesBalance) {
  // Coil and band both hang from (0, 80 mm). The coil pushes down with 0.5 (64 - (80 - z)), the band pulls up with
  // 0.2 (80 - z - 20): 0.5 (z - 16) = 0.2 (60 - z), z = 200 / 7.
  const Hung h = hung(upright({}) +
                      "[linkage.l.spring.lift]\nkind = \"band\"\nfree_mm = 20\nrate_n_per_mm = 0.2\n"
                      "from = \"carrier.eye\"\nto = \"chassis.top\"\n");
  ASSERT_TRUE(h.droop.droop.has_value());
  EXPECT_NEAR(h.droop.droop->height_mm[0], 200.0 / 7, 1e-9);
  EXPECT_EQ(h.droop.droop->end[0], "");
}

TEST(Droop, OfTwoCoilsThatAreFreeAlmostTogetherIsWhereTheFirstIsFree) {
  // Both hang from (0, 80 mm) and push with 10 N; one is drawn out at 64 mm, the other would be at 64.01 mm.
  const Hung h = hung(upright({.preload_n = 10}) +
                      "[linkage.l.spring.other]\nkind = \"coil\"\nfree_mm = 64.01\nsolid_mm = 40\n"
                      "rate_n_per_mm = 0.5\nfrom = \"carrier.eye\"\nto = \"chassis.top\"\n");
  ASSERT_TRUE(h.droop.droop.has_value());
  EXPECT_NEAR(h.droop.droop->height_mm[0], 16, 1e-9);
  EXPECT_EQ(h.droop.droop->end[0], "main free");
}

TEST(Droop, NamesAWheelThatNothingHolds) {
  const Hung h = hung(arm({.seat = "[4, 7.5]"}));
  ASSERT_TRUE(h.droop.problem.has_value());
  EXPECT_EQ(h.droop.problem->code, "held-by-nothing");
  EXPECT_EQ(h.droop.problem->fault, Fault::text);
  EXPECT_THAT(h.droop.problem->text, HasSubstr("wheel 'hub'"));
}

TEST(Droop, NamesAWheelThatNothingHoldsBesideARockerWhoseCoilIsAtItsFreeLength) {  // a pushrod was left out
  const Hung h = hung(arm({.seat = "[4, 7.5]",
                           .more = coil("main", "rocker.coil", "chassis.seat", 64, 44, 0.5) +
                                   "[[linkage.l.pin]]\njoin = [\"chassis.pivot\", \"rocker.root\"]\n",
                           .bodies = "rocker = { holes = { root = [0, 0], coil = [3, 0] }, near = { coil = [13, 6] } }",
                           .chassis_holes = ", pivot = [10, 6]"}));
  ASSERT_TRUE(h.droop.problem.has_value());
  EXPECT_EQ(h.droop.problem->code, "held-by-nothing");
  EXPECT_THAT(h.droop.problem->text, HasSubstr("wheel 'hub'"));
}

TEST(Droop, NamesABodyThatDangles) {
  const Hung h = hung(arm({.seat = "[4, 7.5]",
                           .more = coil("main", "arm.coil", "chassis.seat", 64, 44, 0.5) +
                                   "[[linkage.l.pin]]\njoin = [\"arm.coil\", \"flap.a\"]\n",
                           .bodies = "flap = { holes = { a = [0, 0], b = [3, 0] } }"}));
  ASSERT_TRUE(h.droop.problem.has_value());
  EXPECT_EQ(h.droop.problem->code, "held-by-nothing");
  EXPECT_THAT(h.droop.problem->text, HasSubstr("body 'flap'"));
}

}  // namespace
}  // namespace ridepitch
