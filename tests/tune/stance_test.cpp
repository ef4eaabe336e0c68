// What is wanted of a vehicle's stance, as bounds for each wheel: by hand on the two-axle tug.

#include "tune/stance.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "rigs/models.hpp"
#include "rigs/rest.hpp"

namespace ridepitch {
namespace {

/// The tug as it stands, its arms' coil up for change; heights within 1 mm, pitch within half a degree.
struct Wanted {
  Standing tug = standing(demo("gravel-tug"));
  Tune tune;
  Space space;
  Aims aims;

  Wanted() {
    tune.vary.push_back({0, VarySpring{0, {}, {1, 2}}, {}});
    tune.wants = stance_wants(tug.model, tug.solution, {1, 0.5, 0.05});
    space = make_space(tug.model, tune);
    aims = *make_aims(tug.model, tune, space.corners, tug.model, tug.solution).aims;
  }
};

// Ride heights are measured at the arms' pivots, the wheels are 8 modules of 8 mm beyond: 1 mm at the pivot and half a degree more
// make 1 + 64 sin(0.5 deg) = 1.558 mm; a thirtieth and 0.02 mm are added for what is of second order.
TEST(WantedStance, BoundsEachWheelsRiseByHeightAndPitch) {
  const Wanted wanted;
  std::string why_not;
  const auto stance = wanted_stance(wanted.space, wanted.aims, wanted.tug.solution, why_not);
  ASSERT_TRUE(stance) << why_not;
  EXPECT_TRUE(stance->upright);
  ASSERT_EQ(stance->wheels.size(), 4u);
  for (const WheelInStance& w : stance->wheels)
    EXPECT_NEAR(w.within_mm, 1.03 * (1 + 64 * std::sin(0.5 * std::numbers::pi / 180)) + 0.02, 0.01);
  // The middle is as it stands: every wheel on the ground.
  for (const WheelInStance& w : stance->wheels) {
    const Vec2 centre = wanted.tug.solution.corners[static_cast<std::size_t>(w.corner)].wheels[0].centre_C_mm;
    EXPECT_NEAR(w.rise_mm + w.rise_by_mm.dot(centre), 0, 1e-6);
  }
}

// Two axles are determinate: whatever the springs, each wheel carries what it carries now, but for how far contacts and centre of
// gravity move, half a mm in 350 each.
TEST(WantedStance, LeavesTwoAxlesTheLoadsOfStatics) {
  const Wanted wanted;
  std::string why_not;
  auto stance = wanted_stance(wanted.space, wanted.aims, wanted.tug.solution, why_not);
  ASSERT_TRUE(stance) << why_not;
  std::vector<ContactRange> contacts;
  for (const WheelInStance& w : stance->wheels) {
    const Vec2 here = contact_in(*stance, wanted.tug.model, w,
                                 wanted.tug.solution.corners[static_cast<std::size_t>(w.corner)].wheels[0].centre_C_mm);
    contacts.push_back({{here.x(), here.x()}, {here.y(), here.y()}});
  }
  set_loads(*stance, wanted.tug.model, wanted.tug.solution, contacts);
  for (const WheelInStance& w : stance->wheels) {
    const double load = *wanted.tug.solution.corners[static_cast<std::size_t>(w.corner)].wheels[0].load_n;
    EXPECT_LT(w.load_n[0], load);
    EXPECT_GT(w.load_n[1], load);
    EXPECT_LT(w.load_n[1] - w.load_n[0], 0.01 * load);
  }
}

TEST(WantedStance, IsOpenWhereNoHeightIsWanted) {
  Wanted wanted;
  std::erase_if(wanted.tune.wants, [](const Want& want) { return want.quantity == name::ride_height; });
  const AimsOrProblem aims =
      make_aims(wanted.tug.model, wanted.tune, wanted.space.corners, wanted.tug.model, wanted.tug.solution);
  std::string why_not;
  EXPECT_FALSE(wanted_stance(wanted.space, *aims.aims, wanted.tug.solution, why_not));
  EXPECT_EQ(why_not, "no ride height is wanted within a tolerance");
}

}  // namespace
}  // namespace ridepitch
