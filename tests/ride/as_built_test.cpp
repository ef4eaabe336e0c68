// What a built model does: play, friction, more weight, a bend. Against closed forms, and against the same model solved with
// what is asked put into its file.

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <string>

#include "model/index.hpp"
#include "model/units.hpp"
#include "ride/solve.hpp"
#include "rigs/models.hpp"
#include "rigs/rest.hpp"
#include "rigs/texts.hpp"

namespace ridepitch {
namespace {

constexpr double usual_play_mm = 0.05, usual_mu = 0.2, usual_radius_mm = 2.4;  // what additions to the format assume

/// Coils straight above the wheels at (+-10, +-6) modules, 60 mm tyres without mass; each end with a rate of its own.
Model pillars(double front_n_per_mm, double rear_n_per_mm, double coil_friction_n = 0) {
  const auto leg = [](const std::string& name, double rate) {
    return upright({.name = name, .free_mm = 64, .solid_mm = 44, .rate_n_per_mm = rate});
  };
  Model model = on_tyres(read_rig(body(2000, 0, 0, 6) + leg("front", front_n_per_mm) + leg("rear", rear_n_per_mm) +
                                  corner("front left", "front", 10, 6) + corner("front right", "front", 10, -6) +
                                  corner("rear left", "rear", -10, 6) + corner("rear right", "rear", -10, -6)));
  for (Linkage& linkage : model.linkages) std::get<Coil>(linkage.springs[0].data).friction_n = coil_friction_n;
  return model;
}

constexpr double pillars_weight_n = 2 * gravity_m_per_s2;

TEST(Play, LowersAnArmByItsJointForcesOverItsLoad) {
  // Moments and forces about the pin: the coil at 5 modules carries 8/5 of the wheel's load at 8, the pin 3/5 of it. The coil
  // has two ends: play (3 + 2 * 8) / 5.
  const Solution solution = solved(on_tyres(read_rig(level_arm({.load_n = 5}))));
  const CornerResult& corner = solution.corners[0];
  EXPECT_NEAR(*corner.as_built_height_mm, *corner.ride_height_mm - usual_play_mm * (3 + 2 * 8.0) / 5, 1e-9);
}

TEST(Play, IsWhatTheModelSaysItIs) {
  Model model = on_tyres(read_rig(level_arm({.load_n = 5})));
  model.spread.pin_play_mm.value = 0.2;
  const Solution solution = solved(model);
  EXPECT_NEAR(*solution.corners[0].as_built_height_mm, *solution.corners[0].ride_height_mm - 0.2 * 19 / 5, 1e-9);
}

// A finite difference in place of virtual work: the hole of the arm's pin moved on the arm by so much as the force on the arm there
// says, which is the play of that joint alone.
TEST(Play, IsAsTheShiftedHoleOfAPinSays) {
  Model model = on_tyres(read_rig(level_arm({.load_n = 5})));
  const Solution before = solved(model);
  const PinResult& pin = before.corners[0].pins[0];
  ASSERT_EQ(pin.forces.size(), 2u);
  const bool arm_first = pin.forces[0].body == "arm";
  const Vec2 on_arm = pin.forces[arm_first ? 0 : 1].force_C_n;
  constexpr double shift_mm = 1e-3;
  Body& arm = model.linkages[0].bodies[1];
  ASSERT_EQ(arm.name, "arm");
  arm.holes[0].p_B +=
      shift_mm * on_arm.normalized();  // the arm itself is pressed the other way, against the force on it
  const double lower = *before.corners[0].ride_height_mm - *solved(model).corners[0].ride_height_mm;
  EXPECT_NEAR(lower / shift_mm, on_arm.norm() / 5, 1e-3);
}

TEST(Friction, OfAnArmIsThatOfItsPinAndOfTheCoilsEndOnIt) {
  // The arm turns by 1/64 rad for each mm of its wheel; the coil stays upright, so only its end on the arm turns.
  const Solution solution = solved(on_tyres(read_rig(level_arm({.load_n = 5}))));
  const WheelResult& wheel = solution.corners[0].wheels[0];
  EXPECT_NEAR(*wheel.friction_n, usual_mu * usual_radius_mm * (3 + 8.0) / 64, 1e-9);
  EXPECT_NEAR(*wheel.break_out_g, 1000 * *wheel.friction_n / gravity_m_per_s2, 1e-9);
}

TEST(Friction, OfACoilHoldsAPillarByItsForceOverTheRate) {
  const Solution solution = solved(pillars(0.5, 0.5, 0.3));
  for (const CornerResult& corner : solution.corners) {
    EXPECT_NEAR(*corner.wheels[0].friction_n, 0.3, 1e-9);             // nothing turns, and the slide carries nothing
    const double built = *corner.ride_height_mm - 2 * usual_play_mm;  // two ends of a coil that carries the load
    EXPECT_NEAR(*corner.as_built_height_mm, built, 1e-9);
    EXPECT_NEAR(*corner.pressed_height_mm, built - 0.3 / 0.5, 1e-7);
    EXPECT_NEAR(*corner.lifted_height_mm, built + 0.3 / 0.5, 1e-7);
  }
}

// The equation of equilibrium at the place itself: pressed, the springs carry the load and friction by their forces there.
TEST(Friction, OfAnArmIsWorkedOutWhereItComesToRest) {
  const Standing arm = standing(on_tyres(read_rig(level_arm({.load_n = 5}))));
  for (const double sense : {1.0, -1.0}) {
    const CornerResult& corner = arm.solution.corners[0];
    const double there = sense > 0 ? *corner.pressed_height_mm : *corner.lifted_height_mm;
    Model loaded = arm.model;  // with friction as an outer load, by trial: bisection on that load
    double low = 0, high = 2;
    Solution solution;
    for (int k = 0; k < 60; ++k) {
      const double f = 0.5 * (low + high);
      *loaded.corners[0].load_n = 5 + sense * f;
      solution = solved(loaded);
      (f < *solution.corners[0].wheels[0].friction_n ? low : high) = f;
    }
    const double by_play = *corner.ride_height_mm - *corner.as_built_height_mm;
    EXPECT_NEAR(there, *solution.corners[0].ride_height_mm - by_play, 1e-6) << sense;
  }
}

/// The point of the body that at rest is plumb over a wheel's contact, at a height of the vehicle, modules.
Vec3 plumb_over(const Solution& solution, int corner, double z_mm) {
  const Vec3 ground = solution.corners[static_cast<std::size_t>(corner)].wheels[0].contact_mm;
  const double p = solution.vehicle->pitch_deg * std::numbers::pi / 180,
               r = solution.vehicle->roll_deg * std::numbers::pi / 180;
  // x cos p + z' sin p = ground x, where y cos r - z sin r = ground y and z' = y sin r + z cos r
  const double y = (ground.y() + z_mm * std::sin(r)) / std::cos(r);
  const double up = y * std::sin(r) + z_mm * std::cos(r);
  return {(ground.x() - up * std::sin(p)) / std::cos(p), y, z_mm};
}

double height_of_point(const Solution& solution, const Vec3& at_mm) {
  const double p = solution.vehicle->pitch_deg * std::numbers::pi / 180,
               r = solution.vehicle->roll_deg * std::numbers::pi / 180;
  return solution.vehicle->height_mm - std::sin(p) * at_mm.x() +
         std::cos(p) * (std::sin(r) * at_mm.y() + std::cos(r) * at_mm.z());
}

Solution with_mass(Model model, double grams, const Vec3& at_mm) {
  model.masses.push_back({"more", grams * kg_per_g, at_mm, std::nullopt, {}});
  return solved(model);
}

class MoreWeight : public ::testing::TestWithParam<const char*> {};

TEST_P(MoreWeight, OverAWheelBottomsItAsAMassInTheFileDoes) {
  const Model model = demo(GetParam());
  const Solution rest = solved(model);
  for (int c = 0; c < count(rest.corners); ++c) {
    if (rest.corners[static_cast<std::size_t>(c)].wheels.size() != 1) continue;
    const WheelResult& wheel = at(rest.corners, c).wheels[0];
    if (!wheel.weight_to_bump_g) continue;
    const Vec3 over = plumb_over(rest, c, rest.vehicle->cg_mm.z());
    const Solution just = with_mass(model, *wheel.weight_to_bump_g, over);
    EXPECT_NEAR(*at(just.corners, c).wheels[0].bump_travel_mm, 0, 1e-6) << at(rest.corners, c).name;
    const Solution less = with_mass(model, *wheel.weight_to_bump_g - 5, over);
    EXPECT_GT(*at(less.corners, c).wheels[0].bump_travel_mm, 0.01);
    EXPECT_EQ(at(less.corners, c).wheels[0].state, WheelState::riding);
  }
}

TEST_P(MoreWeight, OfAHundredGramsSinksTheBodyAsAMassInTheFileDoes) {
  const Model model = demo(GetParam());
  const Solution rest = solved(model);
  for (int c = 0; c < count(rest.corners); ++c) {
    const WheelResult& wheel = at(rest.corners, c).wheels[0];
    if (!wheel.sink_100g_mm) continue;
    const Vec3 over = plumb_over(rest, c, rest.vehicle->cg_mm.z());
    const Solution sunk = with_mass(model, 100, over);
    EXPECT_NEAR(*wheel.sink_100g_mm, height_of_point(rest, over) - height_of_point(sunk, over), 1e-7);
  }
}

INSTANTIATE_TEST_SUITE_P(Demos, MoreWeight, ::testing::Values("quarry-hauler", "gravel-tug", "scout-car", "peat-crab"),
                         [](const auto& test) {
                           std::string name = test.param;
                           std::replace(name.begin(), name.end(), '-', '_');
                           return name;
                         });

TEST(MoreWeight, TellsWhichPointGroundsFirst) {
  Model model = pillars(0.5, 0.5);
  const double height_mm = solved(model).vehicle->height_mm;
  model.clearances.push_back({"belly", Vec3(0, 0, 1 - height_mm), {}});  // a millimetre over the ground
  const WheelResult wheel = solved(model).corners[0].wheels[0];
  EXPECT_FALSE(wheel.weight_to_bump_g);
  EXPECT_EQ(wheel.weight_to_bump_why, "grounds: belly");
}

TEST(SetDown, IsTheHeightWhoseWorkTheSpringsAndFrictionTakeUp) {
  // A coil of rate k over T = 20 mm, free to solid: k T^2 / 2 = W (H + T) - f T. Work and energy, any mechanics text.
  const double k = 0.8, T = 20, f = 0.3, W = pillars_weight_n / 4;
  const Solution solution = solved(pillars(k, k, f));
  for (const CornerResult& corner : solution.corners)
    EXPECT_NEAR(*corner.wheels[0].set_down_height_mm, (k * T * T / 2 + f * T) / W - T, 1e-7);
}

// Statics of a body on springs that lie in planes along it, rolling about the ground: (4 k b^2 - W (h - r)) phi = 0.1 W h, b the
// half track, h the height of the centre of gravity, r that of the wheels' centres, under which the contacts stay (any text on the
// roll axis; small angles).
TEST(Bend, LeansAPillaredBodyByItsMomentOverItsRollStiffness) {
  const Solution solution = solved(pillars(0.5, 0.5));
  const double b = 48, h = solution.vehicle->height_mm + 48, K = 4 * 0.5 * b * b;
  const double r = 30, phi = 0.1 * pillars_weight_n * h / (K - pillars_weight_n * (h - r));
  EXPECT_NEAR(*solution.vehicle->lean_deg_per_0_1_g, phi * 180 / std::numbers::pi, 0.01 * phi * 180 / std::numbers::pi);
  EXPECT_NEAR(*solution.vehicle->load_transfer_n, K * phi / (2 * b), 0.01 * K * phi / (2 * b));
}

TEST(Bend, SharesTheRollStiffnessAsRatesGoWhereTracksAreAlike) {
  EXPECT_NEAR(*solved(pillars(0.5, 0.5)).vehicle->roll_stiffness_share_front, 0.5, 1e-6);
  // Softer in front it also pitches; the share changes by the square of that angle only.
  EXPECT_NEAR(*solved(pillars(0.6, 0.5)).vehicle->roll_stiffness_share_front, 0.6 / 1.1, 1e-3);
}

TEST(Modes, AreNoneOfAPointMassOffTheGrid) {
  Model model = pillars(0.5, 0.5);
  model.masses = {{"a", 1.37, Vec3(3.3, 0.1, 47.7), std::nullopt, {}}};
  EXPECT_TRUE(solved(model).vehicle->modes.empty());
}

TEST(FullSize, TakesLengthsByTheTyresAndFrequenciesByTheRoot) {
  Model model = pillars(0.5, 0.5);
  model.masses[0].size_mm = Vec3(100, 60, 40);
  model.full_size_wheel_mm = 1500;  // 25 times the 60 mm of the model's
  model.original_lengths.push_back({"wheelbase", 160, 4200, {}});
  const Solution solution = solved(model);
  ASSERT_TRUE(solution.full_size);
  EXPECT_NEAR(solution.full_size->scale, 25, 1e-12);
  EXPECT_NEAR(solution.full_size->lengths[0].scaled_mm, 4000, 1e-9);
  EXPECT_NEAR(solution.full_size->lengths[0].off_percent, 100 * (4000.0 / 4200 - 1), 1e-9);
  ASSERT_EQ(solution.full_size->modes.size(), 3u);
  EXPECT_NEAR(solution.full_size->modes[0].frequency_hz, solution.vehicle->modes[0].frequency_hz / 5, 1e-12);
}

}  // namespace
}  // namespace ridepitch
