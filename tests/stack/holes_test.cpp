// Holes that the parts of a body do not have. What must be found was read off drawings of the parts.

#include "stack/holes.hpp"

#include <gtest/gtest.h>

#include <string>
#include <vector>

#include "rigs/models.hpp"
#include "rigs/texts.hpp"

namespace ridepitch {
namespace {

/// An arm on a coil, and the line of its bodies.
Model cart(const std::string& bodies) {
  return read_rig(on_bench("[linkage.l]\nplane = \"side\"\n[linkage.l.body]\n" + bodies + R"(
[[linkage.l.pin]]
join = ["chassis.arm", "arm.root"]
[linkage.l.spring.main]
part = "coil-65-firm"
from = "arm.coil"
to = "chassis.seat"
[linkage.l.wheel.hub]
at = "arm.axle"
part = "tyre-62"
)",
                           5));
}

std::vector<std::string> wheres(const Model& model) {
  std::vector<std::string> out;
  for (const Finding& finding : find_missing_holes(model)) {
    EXPECT_EQ(finding.code, "no-such-hole");
    EXPECT_EQ(finding.level, Level::problem);
    out.push_back(finding.where);
  }
  return out;
}

const std::string chassis_line = "chassis = { holes = { arm = [0, 0], seat = [5, 8] } }\n";

TEST(MissingHoles, AFifteenHoleBeamHasNoHolesTwentyModulesApart) {
  const Model model =
      cart(chassis_line + "arm = { part = \"beam-15\", holes = { root = [0, 0], coil = [5, 0], axle = [20, 0] } }");
  const auto findings = find_missing_holes(model);
  ASSERT_EQ(findings.size(), 1u);
  EXPECT_EQ(findings[0].where, "l/arm.axle");
  EXPECT_EQ(findings[0].text, "beam-15 has no hole at [20, 0]: the nearest is at [14, 0]");
}

TEST(MissingHoles, EveryHoleIsLookedAtWhetherSomethingUsesItOrNot) {
  EXPECT_EQ(
      wheres(cart(chassis_line + "arm = { part = \"beam-9\", holes = { root = [0, 0], coil = [5, 0], axle = [8, 0], "
                                 "spare = [4.5, 0] } }")),
      std::vector<std::string>{"l/arm.spare"});
}

TEST(MissingHoles, AFreeBodyHasHolesAnywhere) {
  EXPECT_TRUE(
      wheres(cart(chassis_line + "arm = { holes = { root = [0, 0], coil = [5, 1.3], axle = [20, 0] } }")).empty());
}

TEST(MissingHoles, AChassisOfPartsIsLookedAtToo) {
  const std::string arm = "arm = { holes = { root = [0, 0], coil = [5, 0], axle = [8, 0] } }";
  const std::string built =
      "chassis = { built = [ { part = \"beam-9\", at = [-2, 0] }, { part = \"beam-5\", at = [5, 5], turn = 90 } ], "
      "holes = { arm = [0, 0], seat = [5, 8] } }\n";
  EXPECT_TRUE(wheres(cart(built + arm)).empty());
  const std::string too_low =
      "chassis = { built = [ { part = \"beam-9\", at = [-2, 0] }, { part = \"beam-5\", at = [5, 3], turn = 90 } ], "
      "holes = { arm = [0, 0], seat = [5, 8] } }\n";
  const auto findings = find_missing_holes(cart(too_low + arm));
  ASSERT_EQ(findings.size(), 1u);
  EXPECT_EQ(findings[0].where, "l/chassis.seat");
  EXPECT_EQ(findings[0].text, "beam-9 and beam-5 have no hole at [5, 8]: the nearest is at [5, 7]");
}

// beam-6-6-slant has cross holes at its ends only: [5, 0] is one, [4, 0] is none (drawing in shared/parts/beams.toml).
TEST(MissingHoles, TwoBodiesInCrossHolesCanNotTurnOnOneAnother) {
  const auto on_axle = [](const char* root) {
    return cart(
        std::string(
            "chassis = { built = [ { part = \"beam-6-6-slant\", at = [-5, 0] } ], holes = { arm = [0, 0], seat = "
            "[-1, 0] } }\narm = { built = [ { part = \"beam-6-6-slant\", at = [") +
        root + ", 0] } ], holes = { root = [0, 0], coil = [-2, 0], axle = [-3, 0] } }");
  };
  EXPECT_EQ(wheres(on_axle("-5")), std::vector<std::string>{"l/chassis.arm"});
  EXPECT_TRUE(wheres(on_axle("-4")).empty());
}

}  // namespace
}  // namespace ridepitch
