// Bounce, pitch and roll of a body on four wheels, against the half-car of the books. What makes it exact here stands
// at slide_car(): level, its centre of gravity as high as the wheels' centres, motion ratio 1.

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "reference/models.hpp"

namespace ridepitch {
namespace {

const Mode& mode(const Solution& solution, const std::string& name) {
  static const Mode none;
  if (solution.vehicle)
    for (const Mode& found : solution.vehicle->modes)
      if (found.name == name) return found;
  ADD_FAILURE() << "no mode '" << name << "'";
  return none;
}

// Data: a problem text at expertsmind.com, "Calculate frequencies for two modes of vibration": 1600 kg, 2 x 19 and
// 2 x 17 kN/m, wheelbase 2.9 m, centre of gravity 1.6 m ahead of the rear wheels, k = 0.95 m. Here lengths are a tenth,
// masses and rates a thousandth, which leaves frequencies as they are. Answer: eigenvalues of the half-car.
TEST(HalfCar, HasTheFrequenciesAndNodesOfTheBook) {
  const Solution solution = solved(slide_car({.kg = 1.6,
                                              .pitch_radius_mm = 95,
                                              .ahead_mm = 130,
                                              .behind_mm = 160,
                                              .front_n_per_mm = 0.019,
                                              .rear_n_per_mm = 0.017}));
  ASSERT_TRUE(solution.vehicle);
  EXPECT_NEAR(solution.vehicle->pitch_deg, 0, 1e-9);
  EXPECT_NEAR(mode(solution, "bounce").frequency_hz, 1.06549984, 2e-8);
  EXPECT_NEAR(mode(solution, "pitch").frequency_hz, 1.63031882, 2e-8);
  const double bounce = mode(solution, "bounce").centre_modules.value(),
               pitch = mode(solution, "pitch").centre_modules.value();
  EXPECT_NEAR(bounce, -173.0814309, 1e-6);    // a tenth of -17.30814309 m, in modules of 10 mm
  EXPECT_NEAR(pitch, 0.5214306, 2e-6);        // 0.05214309 m, of seven digits
  EXPECT_NEAR(bounce * pitch, -90.25, 1e-7);  // x1 x2 = -k^2
}

// Standard half-car theory: where kf a = kr b bounce and pitch do not mix. 1 kg, k = 80 mm, a = 100, b = 120 mm,
// axles of 600 and 500 N/m.
TEST(HalfCar, KeepsBounceAndPitchApartWhereAxlesBalance) {
  const Solution solution = solved(slide_car({.kg = 1,
                                              .pitch_radius_mm = 80,
                                              .ahead_mm = 100,
                                              .behind_mm = 120,
                                              .front_n_per_mm = 0.3,
                                              .rear_n_per_mm = 0.25}));
  EXPECT_NEAR(mode(solution, "bounce").frequency_hz, 5.27857230, 1e-8);
  EXPECT_NEAR(mode(solution, "pitch").frequency_hz, 7.22798280, 1e-8);
  const auto far = mode(solution, "bounce").centre_modules;
  EXPECT_TRUE(!far || std::abs(*far) > 1e5);
  EXPECT_NEAR(mode(solution, "pitch").centre_modules.value(), 0, 1e-6);
}

// Standard half-car theory: where k^2 = a b each axle bounces by itself, the other mode's centre.
TEST(HalfCar, BouncesEachAxleByItselfWhereTheRadiusFits) {
  const Solution solution = solved(slide_car({.kg = 1,
                                              .pitch_radius_mm = std::sqrt(12000.0),
                                              .ahead_mm = 100,
                                              .behind_mm = 120,
                                              .front_n_per_mm = 0.3,
                                              .rear_n_per_mm = 0.35}));
  const Mode &one = mode(solution, "bounce"), &other = mode(solution, "pitch");
  const Mode &slow = one.frequency_hz < other.frequency_hz ? one : other, &fast = &slow == &one ? other : one;
  EXPECT_NEAR(slow.frequency_hz, 5.27857230, 1e-8);
  EXPECT_NEAR(slow.centre_modules.value(), -12, 1e-6);  // the rear axle
  EXPECT_NEAR(fast.frequency_hz, 6.24569097, 1e-8);
  EXPECT_NEAR(fast.centre_modules.value(), 10, 1e-6);  // the front axle
}

// Statics, any text on chassis: each axle's roll stiffness is k t^2 / 2. 0.8 N/mm and 120 mm give 5.76 N m/rad. Wheels that
// go up and down in planes along the vehicle have their roll axis on the ground, so the body turns about that: I + m h^2
// (any text on the roll axis, and Steiner's theorem).
TEST(HalfCar, RollsAsItsTrackAndRatesSay) {
  const Solution solution = solved(slide_car({.kg = 1,
                                              .pitch_radius_mm = 80,
                                              .ahead_mm = 110,
                                              .behind_mm = 110,
                                              .front_n_per_mm = 0.8,
                                              .rear_n_per_mm = 0.8,
                                              .half_track_mm = 60}));
  const double inertia =
      1.0 / 12 * 1e-4 *
      (slide_car_width_modules * slide_car_width_modules + slide_car_height_modules * slide_car_height_modules);
  const double height_m = solution.vehicle->height_mm / 1000;  // of the origin, which is the centre of gravity
  const double about_ground = inertia + 1.0 * height_m * height_m;
  EXPECT_NEAR(mode(solution, "roll").frequency_hz, std::sqrt(2 * 5.76 / about_ground) / (2 * std::numbers::pi), 1e-8);
}

}  // namespace
}  // namespace ridepitch
