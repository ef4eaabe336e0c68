// A rigid vehicle on four wheels of its chassis, uphill: m = 1 kg, its centre of gravity a = 60 mm behind the front axle,
// b = 68 mm before the rear one, h = 45 mm over the ground; L = a + b. Across, wheels stand 40 mm from the middle.
//
//     front = m g (b cos s - h sin s) / L       rear = m g (a cos s + h sin s) / L
//
// Statics of a rigid body; the same formula stands in texts on vehicle dynamics under "static loads on a grade" (T. D.
// Gillespie, Fundamentals of Vehicle Dynamics, ch. 1, from memory). The table was worked out from it with g = 9.81.

#include <gtest/gtest.h>

#include <array>
#include <cmath>

#include "reference/linkages.hpp"
#include "reference/models.hpp"
#include "rigs/models.hpp"
#include "rigs/rest.hpp"
#include "rigs/texts.hpp"

namespace ridepitch {
namespace {

std::string cart() {
  return R"(format = 1
name = "cart"
module_mm = 1
[[mass]]
name = "all of it"
grams = 1000
at = [0, 0, 45]
)" + fixed_wheel() +
         corner("front left", "f", 60, 40, 20) + "mirror = true\n" + corner("rear left", "f", -68, 40, 20) +
         "mirror = true\n";
}

Solution cart_on(Floor floor) {
  const Model model = on_tyres(read_rig(cart()), {.diameter_mm = 40, .rate_n_per_mm = {}});  // no mass
  return solved(model, {.floor = std::move(floor)});
}

double axle_load(const Solution& solution, std::size_t first) {
  return solution.corners[first].wheels[0].ground_load_n.value() +
         solution.corners[first + 1].wheels[0].ground_load_n.value();
}

struct Row {
  double slope_deg, front_n, rear_n;
};
constexpr std::array<Row, 4> slopes{
    {{0, 5.211563, 4.598438}, {10, 4.533504, 5.127460}, {20, 3.717698, 5.500686}, {30, 2.788931, 5.706778}}};

TEST(Slope, LoadsTheAxlesAsStaticsOfARigidVehicleSays) {
  for (const Row& row : slopes) {
    const Solution solution =
        cart_on({.slope_rad = row.slope_deg * rad_per_deg, .toward = Toward::rear, .explore = false});
    ASSERT_EQ(solution.corners.size(), 4u) << row.slope_deg;
    const double other_g = 9.80665 / 9.81;
    EXPECT_NEAR(axle_load(solution, 0), row.front_n * other_g, 1e-6) << row.slope_deg;  // its last printed digit
    EXPECT_NEAR(axle_load(solution, 2), row.rear_n * other_g, 1e-6) << row.slope_deg;
  }
}

// The resultant goes through the contacts of the lower wheels: tan(s) = their distance along the floor over h.
TEST(Slope, TipsARigidVehicleWhereItsWeightPassesOverItsLowerWheels) {
  const Solution solution = cart_on({});
  ASSERT_TRUE(solution.floor.has_value());
  ASSERT_EQ(solution.floor->tilts.size(), 4u);
  const double base_mm[] = {40, 40, 60, 68};
  for (std::size_t i = 0; i < 4; ++i)
    EXPECT_NEAR(solution.floor->tilts[i].tip_deg.value(), std::atan(base_mm[i] / 45) / rad_per_deg,
                solution.floor->tolerance_deg);
}

}  // namespace
}  // namespace ridepitch
