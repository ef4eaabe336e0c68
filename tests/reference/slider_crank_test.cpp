// Slider-cranks: offset (crank 40, rod 120, line of the slider at y = -20 mm) and in line (crank 30, rod 100 mm).

#include <gtest/gtest.h>

#include <array>
#include <cmath>

#include "reference/linkages.hpp"
#include "ride/sweep.hpp"

namespace ridepitch {
namespace {

// R. L. Norton, Design of Machinery (McGraw-Hill), ch. 4, slider-crank example; the book prints, from memory,
// 152.91 degrees and 126.84 mm, 27.09 degrees and -86.84 mm. The rod's angle is that from slider pin to crank pin.
TEST(SliderCrank, StandsAtTheTextbookPlacesOnBothSides) {
  const Linkage open = slider_crank(40, 120, -20, 60), crossed = slider_crank(40, 120, -20, 60, true);
  Cranked as_open = take_crank(open, "crank"), as_crossed = take_crank(crossed, "crank");
  ASSERT_TRUE(turn_to(as_open, 60));
  ASSERT_TRUE(turn_to(as_crossed, 60));
  EXPECT_NEAR(wrapped_deg(angle_deg(as_open, "rod")), 152.91307152, 1e-8);
  EXPECT_NEAR(place(as_open, "slider.B").x(), 126.83800519, 1e-8);
  EXPECT_NEAR(wrapped_deg(angle_deg(as_crossed, "rod")), 27.08692848, 1e-8);
  EXPECT_NEAR(place(as_crossed, "slider.B").x(), -86.83800519, 1e-8);
  EXPECT_NEAR(place(as_open, "slider.B").y(), -20, 1e-9);
}

// Triangle geometry: x = sqrt(80^2 - 20^2) and sqrt(160^2 - 20^2) mm. Turned by 90 degrees the slider rises.
TEST(SliderCrank, EndsItsStrokeAtNamedDeadPoints) {
  Linkage linkage = slider_crank(40, 120, -20, 90, false, 90);
  add_wheel(linkage, "slider.B");
  const Assembly assembly = assembled(linkage);
  const HeldMechanism held = hold_wheels(assembly.mechanism, assembly.q);
  const SweepEnd low = sweep_to_end(held, 0, assembly.q, -1), high = sweep_to_end(held, 0, assembly.q, +1);
  const auto crank = [&](const SweepEnd& end) {
    return wrapped_deg(end.q[3 * moving_body(linkage, "crank") + 2] / rad_per_deg - 90);
  };
  EXPECT_EQ(low.name, "dead point");
  EXPECT_EQ(high.name, "dead point");
  EXPECT_NEAR(low.height_mm, 77.45966692, 1e-8);
  EXPECT_NEAR(high.height_mm, 158.74507866, 1e-8);
  EXPECT_NEAR(high.height_mm - low.height_mm, 81.28541174, 1e-8);
  // The crank's angle goes with the square root of what is left of the travel.
  EXPECT_NEAR(crank(high), -7.18075578, 1e-3);
  EXPECT_NEAR(crank(low), 165.52248781, 1e-3);
  EXPECT_NEAR(crank(low) - crank(high), 172.70324360, 1e-3);
}

// Closed form: x = r cos(a) + sqrt(l^2 - r^2 sin^2(a)).
TEST(SliderCrank, InLineFollowsItsClosedForm) {
  constexpr std::array<std::array<double, 3>, 7> stroke{{{0, 130.00000000, 0.00000000},
                                                         {30, 124.84936178, -18.94171085},
                                                         {60, 111.56603958, -30.01646072},
                                                         {90, 95.39392014, -30.00000000},
                                                         {120, 81.56603958, -21.94506350},
                                                         {150, 72.88783755, -11.05828915},
                                                         {180, 70.00000000, 0.00000000}}};
  const Linkage linkage = slider_crank(30, 100, 0, 45);
  Cranked cranked = take_crank(linkage, "crank");
  for (const auto& [angle, x, slope] : stroke) {
    ASSERT_TRUE(turn_to(cranked, angle));
    EXPECT_NEAR(place(cranked, "slider.B").x(), x, 1e-8) << angle;
    EXPECT_NEAR(velocity(cranked, "slider.B", motion_of(cranked)).x(), slope, 1e-8) << angle;
  }
}

}  // namespace
}  // namespace ridepitch
