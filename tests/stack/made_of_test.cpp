// What a body is made of. Expected places were worked out by hand on squared paper; the rules are those of
// docs/model-format.md, "What a part is made of".

#include "stack/made_of.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <random>
#include <tuple>

#include "model/read.hpp"
#include "model/units.hpp"
#include "rigs/scale.hpp"

namespace ridepitch {
namespace {

constexpr double module_mm = 8;

Catalogue make_parts() {
  Catalogue catalogue;
  const auto add = [&](const std::string& name, std::vector<Vec2> holes, std::vector<int> cross = {}) {
    Piece piece{"other"};
    piece.holes = std::move(holes);
    piece.cross = std::move(cross);
    catalogue[name] = {name, piece, {}};
  };
  add("straight-5", {{0, 0}, {1, 0}, {2, 0}, {3, 0}, {4, 0}}, {0, 4});
  add("corner", {{3, 0}, {2, 0}, {1, 0}, {0, 0}, {0, 1}, {0, 2}}, {0});
  add("slope", {{0, 0}, {1, 0}, {2, 0}, {2.6, 0.8}, {3.2, 1.6}});
  Piece dumb{"other"};
  catalogue["panel"] = {"panel", dumb, {}};
  return catalogue;
}

const Catalogue& parts() {
  static const Catalogue all = make_parts();
  return all;
}

Body body_of(const std::string& part, const std::vector<Vec2>& holes) {
  Body body;
  body.name = "lever";
  body.part = part;
  for (const Vec2& hole : holes) body.holes.push_back({"h", module_mm * hole, {}});
  return body;
}

PlacedPart placed(const std::string& part, const std::vector<Vec2>& holes) {
  return made_of(parts(), module_mm, body_of(part, holes)).parts.at(0).placed;
}

void expect_place(const PlacedPart& got, const Vec2& at, double turn_deg, bool over) {
  EXPECT_NEAR((got.at_mm / module_mm - at).norm(), 0, 1e-12) << got.at_mm.transpose() / module_mm;
  EXPECT_NEAR(got.turn_rad * deg_per_rad, turn_deg, 1e-12);
  EXPECT_EQ(got.over, over);
}

TEST(MadeOf, AStraightBeamLiesAsItIsDrawnWhereItsHolesFit) {
  expect_place(placed("straight-5", {{0, 0}, {4, 0}}), {0, 0}, 0, false);
}

TEST(MadeOf, APartMovesByTheShortestShiftThatMeetsMostHoles) {
  // [0, 0] and [2, 0] are met without a shift; [-1, 0] and [3, 0] only from -1 on.
  expect_place(placed("straight-5", {{0, 0}, {2, 0}}), {0, 0}, 0, false);
  expect_place(placed("straight-5", {{-1, 0}, {3, 0}}), {-1, 0}, 0, false);
  // Turned over it lies from 0 to -4, unshifted and unturned; the least turn counts before that.
  expect_place(placed("straight-5", {{-4, 0}, {0, 0}}), {0, 0}, 0, true);
}

TEST(MadeOf, APartIsTurnedOverWhereOnlyThatFits) {
  // The long leg along -u, the short one along v: mirrored, not turned.
  expect_place(placed("corner", {{0, 0}, {-3, 0}, {0, 2}}), {0, 0}, 0, true);
  // The short leg along u, the long one along v: mirrored (long along -u) and turned back by 90 degrees.
  expect_place(placed("corner", {{0, 0}, {2, 0}, {0, 3}}), {0, 0}, 270, true);
}

TEST(MadeOf, HalfModulesAreShiftsToo) { expect_place(placed("straight-5", {{0.5, 1}, {4.5, 1}}), {0.5, 1}, 0, false); }

TEST(MadeOf, ALegOnASlopeMeetsHolesOffTheGrid) {
  expect_place(placed("slope", {{0, 0}, {3.2, 1.6}}), {0, 0}, 0, false);
  // Turned by 90 degrees (u, v) goes to (-v, u).
  expect_place(placed("slope", {{0, 0}, {-1.6, 3.2}}), {0, 0}, 90, false);
}

TEST(MadeOf, AHoleIsMetToAFiftiethOfAModule) {
  const MadeOf made = made_of(parts(), module_mm, body_of("straight-5", {{0, 0}}));
  EXPECT_TRUE(meets(*nearest_hole(made, module_mm, {8 * 1.019, 0}), module_mm));
  EXPECT_FALSE(meets(*nearest_hole(made, module_mm, {8 * 1.021, 0}), module_mm));
}

TEST(MadeOf, ABodyIsFreeWithoutAPartOrWithOneThatDoesNotSayWhereItsHolesAre) {
  EXPECT_TRUE(made_of(parts(), module_mm, body_of("", {{0, 0}})).free());
  EXPECT_TRUE(made_of(parts(), module_mm, body_of("panel", {{0, 0}})).free());
  EXPECT_TRUE(made_of(parts(), module_mm, body_of("only-in-the-price-list", {{0, 0}})).free());
  Body built = body_of("", {{0, 0}});
  built.built = {{.part = "straight-5"}, {.part = "panel"}};
  EXPECT_TRUE(made_of(parts(), module_mm, built).free());
}

TEST(MadeOf, PartsOfABuiltBodyLieWhereTheFileSaysTurnedOverFirst) {
  Body body = body_of("", {{0, 0}});
  // Over: (3, 0) to (-3, 0); by 90 degrees to (0, -3); to [-4, 9]: (-4, 6). (0, 2) to (0, 2), (-2, 0), (-6, 9).
  body.built = {{.part = "corner", .at_mm = module_mm * Vec2(-4, 9), .turn_rad = 90 * rad_per_deg, .over = true}};
  const MadeOf made = made_of(parts(), module_mm, body);
  ASSERT_EQ(made.parts.size(), 1u);
  EXPECT_NEAR((made.parts[0].holes_mm.front() / module_mm - Vec2(-4, 6)).norm(), 0, 1e-12);
  EXPECT_NEAR((made.parts[0].holes_mm.back() / module_mm - Vec2(-6, 9)).norm(), 0, 1e-12);
}

TEST(MadeOf, AnyAngleMayBeWrittenForABuiltPart) {
  Body body = body_of("", {{0, 0}});
  body.built = {{.part = "straight-5", .turn_rad = std::atan2(3.0, 4.0)}};
  const MadeOf made = made_of(parts(), module_mm, body);
  // The fifth hole is 4 modules along (4, 3) / 5.
  EXPECT_NEAR((made.parts[0].holes_mm[4] / module_mm - Vec2(3.2, 2.4)).norm(), 0, 1e-12);
}

TEST(MadeOf, ARoundHoleOverACrossHoleLetsTheJointTurn) {
  Body body = body_of("", {{0, 0}});
  body.built = {{.part = "straight-5"}};
  EXPECT_TRUE(nearest_hole(made_of(parts(), module_mm, body), module_mm, {0, 0})->cross);
  body.built.push_back({.part = "slope"});
  EXPECT_FALSE(nearest_hole(made_of(parts(), module_mm, body), module_mm, {0, 0})->cross);
}

TEST(Straightened, KeepsEndsCornersAndTurnsBack) {
  const std::vector<Vec2> bent = {{3, 0}, {2, 0}, {1, 0}, {0, 0}, {0, 1}, {0, 2}}, corners = {{3, 0}, {0, 0}, {0, 2}};
  EXPECT_EQ(straightened(bent), corners);
  const std::vector<Vec2> back = {{0, 0}, {8, 0}, {5, 0}};  // not along the same way
  EXPECT_EQ(straightened(back), back);
  EXPECT_EQ(straightened({{1, 1}}), (std::vector<Vec2>{{1, 1}}));
}

// The rule told once more, in the plainest way: every lie within reach, each hole compared with each.
struct Lie {
  double shift_u = 0, shift_v = 0;
  int quarters = 0;
  bool over = false;
};

Vec2 lies(const Vec2& hole, const Lie& lie) {
  Vec2 p(lie.over ? -hole.x() : hole.x(), hole.y());
  for (int i = 0; i < lie.quarters; ++i) p = Vec2(-p.y(), p.x());
  return p + Vec2(lie.shift_u, lie.shift_v);
}

Lie by_trying_all(const std::vector<Vec2>& part, const std::vector<Vec2>& body, double reach) {
  Lie best;
  auto rank = [](const Lie& lie, int met) {
    return std::tuple(-met, lie.shift_u * lie.shift_u + lie.shift_v * lie.shift_v, lie.quarters, lie.over, lie.shift_u,
                      lie.shift_v);
  };
  auto best_rank = rank(best, -1);
  for (int quarters = 0; quarters < 4; ++quarters)
    for (const bool over : {false, true})
      for (double u = -reach; u <= reach; u += 0.5)
        for (double v = -reach; v <= reach; v += 0.5) {
          const Lie lie{u, v, quarters, over};
          int met = 0;
          for (const Vec2& hole : body)
            for (const Vec2& own : part)
              if ((lies(own, lie) - hole).norm() <= 0.02) {
                ++met;
                break;
              }
          if (const auto here = rank(lie, met); here < best_rank) {
            best = lie;
            best_rank = here;
          }
        }
  return best;
}

TEST(MadeOf, EveryBuiltInPartLiesWhereTryingAllPlacesPutsIt) {
  std::mt19937 random(20261201);
  const auto pick = [&](int least, int most) { return std::uniform_int_distribution<int>(least, most)(random); };
  for (const auto& [name, part] : built_in_parts()) {
    const auto* piece = std::get_if<Piece>(&part.data);
    if (!piece || piece->holes.empty()) continue;
    for (int turn = 0; turn < scaled(4); ++turn) {
      // Some of its holes, laid anywhere, and one hole that need not fit.
      const Lie lie{pick(-6, 6) / 2.0, pick(-6, 6) / 2.0, turn % 4, turn % 8 >= 4};
      std::vector<Vec2> holes;
      for (int i = 0; i < 3; ++i)
        holes.push_back(
            lies(piece->holes[static_cast<std::size_t>(pick(0, static_cast<int>(piece->holes.size()) - 1))], lie));
      holes.emplace_back(pick(-4, 4), pick(-4, 4));
      const Lie expected = by_trying_all(piece->holes, holes, 20);
      const PlacedPart got = made_of(built_in_parts(), module_mm, body_of(name, holes)).parts.at(0).placed;
      expect_place(got, {expected.shift_u, expected.shift_v}, 90 * expected.quarters, expected.over);
    }
  }
}

}  // namespace
}  // namespace ridepitch
