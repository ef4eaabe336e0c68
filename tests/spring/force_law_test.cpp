#include "spring/force_law.hpp"

#include <gsl/gsl_deriv.h>
#include <gsl/gsl_integration.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <functional>
#include <random>
#include <utility>
#include <vector>

#include "model/model.hpp"
#include "rigs/scale.hpp"

namespace ridepitch {
namespace {

// ------------------------------------------------------------------ outside help: GSL, closed forms

double call(double x, void* function) { return (*static_cast<std::function<double(double)>*>(function))(x); }

/// df/dx by GSL's five-point central rule, or its one-sided rule (side -1 or +1) where a kink stands next door.
double slope_by_gsl(std::function<double(double)> f, double x, int side = 0) {
  const gsl_function wrapped{&call, &f};
  double value = 0, error = 0;
  const double step = 1e-4;
  if (side == 0) {
    gsl_deriv_central(&wrapped, x, step, &value, &error);
  } else if (side > 0) {
    gsl_deriv_forward(&wrapped, x, step, &value, &error);
  } else {
    gsl_deriv_backward(&wrapped, x, step, &value, &error);
  }
  return value;
}

/// Integral of f by GSL's adaptive Gauss-Kronrod rule; `breaks` are where f's derivatives jump.
double integral_by_gsl(std::function<double(double)> f, std::vector<double> breaks) {
  const gsl_function wrapped{&call, &f};
  gsl_integration_workspace* room = gsl_integration_workspace_alloc(200);
  double value = 0, error = 0;
  gsl_integration_qagp(&wrapped, breaks.data(), breaks.size(), 1e-12, 1e-12, 200, room, &value, &error);
  gsl_integration_workspace_free(room);
  return value;
}

ForceLaw coil_law(double free_mm, double solid_mm, double rate_n_per_mm, double preload_n = 0) {
  Coil coil;
  coil.free_mm = free_mm;
  coil.solid_mm = solid_mm;
  coil.rate_n_per_mm = rate_n_per_mm;
  coil.preload_n = preload_n;
  return force_law(coil);
}

ForceLaw firm() { return coil_law(56, 40, 0.62, 1.0); }

/// A coil 60 mm long with a table.
ForceLaw coil_law(ForceTable table) {
  Coil coil;
  coil.free_mm = 60;
  coil.solid_mm = 40;
  coil.law = std::move(table);
  return force_law(coil);
}

/// Bands 40 mm long.
ForceLaw band_law(double rate_n_per_mm) {
  Band band;
  band.free_mm = 40;
  band.rate_n_per_mm = rate_n_per_mm;
  return force_law(band);
}

ForceLaw band_law(ForceTable table) {
  Band band;
  band.free_mm = 40;
  band.law = std::move(table);
  return force_law(band);
}

/// A table of strictly rising points from x = 0, with spans and secants that differ by up to a hundredfold.
ForceTable random_table(std::mt19937& random) {
  std::uniform_real_distribution<double> decades(-1, 1);
  std::uniform_int_distribution<int> count(2, 9);
  ForceTable table{{0.0, random() % 2 == 0 ? 0.0 : std::pow(10, decades(random))}};
  for (int left = count(random); left > 1; --left) {
    const double h = std::pow(10, decades(random));
    table.push_back({table.back().x() + h, table.back().y() + h * std::pow(10, decades(random))});
  }
  return table;
}

// ------------------------------------------------------------------------------------------- coil

// Hooke's law with a preload offset, by hand: 1.0 + 0.62 * 10 = 7.2 N; 1.0 * 10 + 0.62 * 100 / 2 = 41 N mm.
TEST(CoilLaw, PushesWithPreloadPlusRateTimesShortening) {
  const SpringForce at_46 = spring_force(firm(), 46);
  EXPECT_NEAR(at_46.push_n, 7.2, 1e-12);
  EXPECT_NEAR(at_46.stiffness_n_per_mm, 0.62, 1e-15);
  EXPECT_NEAR(at_46.energy_n_mm, 41.0, 1e-12);
}

TEST(CoilLaw, HoldsItsPreloadAndNoEnergyAtItsFreeLength) {
  const SpringForce free = spring_force(firm(), 56);
  EXPECT_NEAR(free.push_n, 1.0, 1e-15);
  EXPECT_NEAR(free.energy_n_mm, 0.0, 1e-15);
}

// The stops are the linkage's to hold: the law itself has no kink there. By hand, 2 mm past either one:
// 1 + 0.62 * 18 = 12.16 N and 1 - 0.62 * 2 = -0.24 N.
TEST(CoilLaw, RunsStraightOnPastBothOfItsStops) {
  const ForceLaw law = firm();
  EXPECT_NEAR(spring_force(law, 38).push_n, 12.16, 1e-12);
  EXPECT_NEAR(spring_force(law, 58).push_n, -0.24, 1e-12);
  EXPECT_NEAR(spring_force(law, 58).energy_n_mm, -2.0 + 0.62 * 2, 1e-12);
}

// k = G d^4 / (8 D^3 n), the helical spring of every machine design book: wire 0.7, mean diameter 7, 8 turns,
// G = 79.3 GPa gives 0.867344 N/mm. The law is a straight line through that.
TEST(CoilLaw, OfAWoundSpringDeflectsAsTheHelicalSpringFormulaSays) {
  const double rate = 79300.0 * std::pow(0.7, 4) / (8 * std::pow(7.0, 3) * 8);
  ASSERT_NEAR(rate, 0.867344, 5e-7);  // its last printed digit
  const ForceLaw law = coil_law(40, 20, rate);
  EXPECT_NEAR(spring_force(law, 30).push_n, 8.67344, 5e-6);
}

// 1 lbf/in = 0.175126835246 N/mm and 1 lbf = 4.4482216152605 N (by definition of pound, inch and standard gravity):
// one inch of shortening gives one pound of force, as exactly as twelve digits of the rate say.
TEST(CoilLaw, OfOnePoundPerInchGivesOnePoundOverAnInch) {
  const ForceLaw law = coil_law(80, 40, 0.175126835246);
  EXPECT_NEAR(spring_force(law, 80 - 25.4).push_n, 4.4482216152605, 2e-11);
}

// 1 kgf = 9.80665 N, exactly (CGPM 1901): what a spring of that rate carries 1 mm in is one kilogram's weight.
TEST(CoilLaw, OfOneKilogramPerMillimetreCarriesOneKilogramOverAMillimetre) {
  const ForceLaw law = coil_law(80, 40, 9.80665);
  EXPECT_NEAR(spring_force(law, 79).push_n / gravity_m_per_s2, 1.0, 1e-13);
}

// ------------------------------------------------------------------------------------------- band

TEST(BandLaw, IsSlackAtAndUnderItsFreeLength) {
  for (const double length : {0.0, 25.0, 39.999, 40.0}) {
    const SpringForce slack = spring_force(band_law(2.0), length);
    EXPECT_EQ(slack.push_n, 0.0) << length;
    EXPECT_EQ(slack.stiffness_n_per_mm, 0.0) << length;
    EXPECT_EQ(slack.energy_n_mm, 0.0) << length;
  }
}

// By hand: 2 * 10 = 20 N pulling, 2 * 100 / 2 = 100 N mm.
TEST(BandLaw, PullsWhenStretched) {
  const SpringForce stretched = spring_force(band_law(2.0), 50);
  EXPECT_NEAR(stretched.push_n, -20.0, 1e-12);
  EXPECT_NEAR(stretched.stiffness_n_per_mm, 2.0, 1e-15);
  EXPECT_NEAR(stretched.energy_n_mm, 100.0, 1e-12);
}

// Stiffness of a stretched spring end free to move in the plane: K = k u u^T + (F/L)(I - u u^T), the geometric
// stiffness of a two-force member. k = 2, free length 40, end at (30, 40): L = 50, F = 20, so
// K = [[0.976, 0.768], [0.768, 1.424]]. Here from the law's energy alone, by GSL's derivative of a derivative.
TEST(BandLaw, GivesTheGeometricStiffnessOfAnInclinedSpring) {
  const ForceLaw law = band_law(2.0);
  const auto pull = [&](double x, double y, int axis) {  // force that the end feels, towards the other, at the origin
    const double length = std::hypot(x, y);
    return -spring_force(law, length).push_n * (axis == 0 ? x : y) / length;
  };
  const double expected[2][2] = {{0.976, 0.768}, {0.768, 1.424}};
  for (int axis = 0; axis < 2; ++axis) {
    EXPECT_NEAR(slope_by_gsl([&](double x) { return pull(x, 40, axis); }, 30), expected[axis][0], 1e-9);
    EXPECT_NEAR(slope_by_gsl([&](double y) { return pull(30, y, axis); }, 40), expected[axis][1], 1e-9);
  }
}

// ------------------------------------------------------------------------------- springs put together

/// Rate of two laws end to end, as a shortening of 0.1 mm of the whole shows it.
double series_rate(const ForceLaw& a, const ForceLaw& b) {
  const double whole = a.free_mm + b.free_mm - 0.1;
  double low = a.free_mm - 0.1, high = a.free_mm;  // length of a: the two pushes differ with opposite signs at these
  for (int halving = 0; halving < 100; ++halving) {
    const double middle = (low + high) / 2;
    (spring_force(a, middle).push_n > spring_force(b, whole - middle).push_n ? low : high) = middle;
  }
  return spring_force(a, low).push_n / 0.1;
}

ForceLaw plain_coil(double rate) { return coil_law(50, 20, rate); }

// Springs in series and parallel: 2 and 3 N/mm give 1.2 end to end and 5 side by side; 5 with 4 gives 2.222222.
TEST(SpringsTogether, InSeriesAndSideBySideHaveTheRatesOfTheTextbook) {
  EXPECT_NEAR(series_rate(plain_coil(2), plain_coil(3)), 1.2, 1e-9);
  const double side_by_side =
      spring_force(plain_coil(2), 40).stiffness_n_per_mm + spring_force(plain_coil(3), 40).stiffness_n_per_mm;
  EXPECT_NEAR(side_by_side, 5.0, 1e-12);
  EXPECT_NEAR(series_rate(plain_coil(2 + 3), plain_coil(4)), 2.222222, 5e-7);
}

// ------------------------------------------------------------------------------------------ table

// Fritsch-Butland slopes of (0, 0), (1, 1), (3, 7) by hand: spans 1 and 2, secants 1 and 3.
//   middle: w1 = 2*2 + 1 = 5, w2 = 2 + 2*1 = 4, m = 9 / (5/1 + 4/3) = 27/19
//   start:  ((2*1 + 2)*1 - 1*3) / 3 = 1/3       end: ((2*2 + 1)*3 - 2*1) / 3 = 13/3
//   f(2) = (1 + 7)/2 + 2/8 (27/19 - 13/3) = 4 - 83/114
//   energy to 3 = 1/2 (0 + 1) + 1/12 (1/3 - 27/19) + 2/2 (1 + 7) + 4/12 (27/19 - 13/3)
TEST(TableLaw, HasTheSlopesOfAWorkedExample) {
  const ForceLaw law = coil_law(ForceTable{{0, 0}, {1, 1}, {3, 7}});
  ASSERT_EQ(law.slope_n_per_mm.size(), 3u);
  EXPECT_NEAR(law.slope_n_per_mm[0], 1.0 / 3, 1e-15);
  EXPECT_NEAR(law.slope_n_per_mm[1], 27.0 / 19, 1e-15);
  EXPECT_NEAR(law.slope_n_per_mm[2], 13.0 / 3, 1e-15);
  EXPECT_NEAR(spring_force(law, 60 - 2).push_n, 4 - 83.0 / 114, 1e-13);
  const double energy = 0.5 + (1.0 / 3 - 27.0 / 19) / 12 + 8 + (27.0 / 19 - 13.0 / 3) / 3;
  EXPECT_NEAR(spring_force(law, 60 - 3).energy_n_mm, energy, 1e-13);
}

// With even knots the inner slope is the plain harmonic mean (Butland 1980): secants 1 and 4 give 2*1*4/5 = 1.6.
// The parabola through all three would leave the first with (3*1 - 4)/2 = -0.5: kept monotone, it is level.
TEST(TableLaw, IsLevelAtAnEndWhoseParabolaWouldFall) {
  const ForceLaw law = coil_law(ForceTable{{0, 0}, {2, 2}, {4, 10}});
  EXPECT_NEAR(law.slope_n_per_mm[1], 1.6, 1e-15);
  EXPECT_EQ(law.slope_n_per_mm[0], 0.0);
  EXPECT_NEAR(law.slope_n_per_mm[2], (3 * 4.0 - 1.0) / 2, 1e-14);
}

TEST(TableLaw, OfTwoPointsIsAStraightLine) {  // 0.5 + 1.25 x, by hand 0.5 + 1.25 * 3 = 4.25
  const ForceLaw law = coil_law(ForceTable{{0, 0.5}, {20, 25.5}});
  EXPECT_NEAR(spring_force(law, 57).push_n, 4.25, 1e-13);
  EXPECT_NEAR(spring_force(law, 57).stiffness_n_per_mm, 1.25, 1e-14);
  EXPECT_NEAR(spring_force(law, 57).energy_n_mm, 0.5 * 3 + 1.25 * 9 / 2, 1e-13);
}

// A cubic is not told apart from its interpolant only where slopes agree; a straight line always is.
TEST(TableLaw, ThroughPointsOfALineIsThatLine) {
  const ForceLaw table = coil_law(ForceTable{{0, 1.0}, {1, 1.62}, {7, 5.34}, {16, 10.92}, {20, 13.4}});
  const ForceLaw line = coil_law(60, 40, 0.62, 1.0);
  for (double length = 36; length <= 64; length += 0.37) {
    EXPECT_NEAR(spring_force(table, length).push_n, spring_force(line, length).push_n, 1e-12) << length;
    EXPECT_NEAR(spring_force(table, length).stiffness_n_per_mm, 0.62, 1e-12) << length;
    EXPECT_NEAR(spring_force(table, length).energy_n_mm, spring_force(line, length).energy_n_mm, 1e-11) << length;
  }
}

TEST(TableLaw, PassesThroughItsPoints) {
  const ForceTable points{{0, 0.4}, {2, 1.1}, {5, 4.0}, {11, 5.5}, {20, 19.0}};
  const ForceLaw law = coil_law(points);
  for (const Vec2& point : points) {
    EXPECT_NEAR(spring_force(law, 60 - point.x()).push_n, point.y(), 1e-12) << point.x();
  }
}

// Past the last point (20, 13/3 slope of the worked example moved there) force rises with the end slope and energy
// with its square: f = 7 + 13/3 * 2, e = e(3) + 7 * 2 + 13/3 * 2.
TEST(TableLaw, OfABandRunsStraightOnPastItsLastPoint) {
  const ForceLaw law = band_law(ForceTable{{0, 0}, {1, 1}, {3, 7}});
  const SpringForce end = spring_force(law, 43), past = spring_force(law, 45);
  EXPECT_NEAR(past.push_n, -(7 + 26.0 / 3), 1e-12);
  EXPECT_NEAR(past.stiffness_n_per_mm, 13.0 / 3, 1e-14);
  EXPECT_NEAR(past.energy_n_mm - end.energy_n_mm, 14 + 26.0 / 3, 1e-12);
}

TEST(TableLaw, OfACoilRunsStraightOnPastItsFreeLength) {  // slope 1/3 at 0, by hand -2/3 N and 2/3 N mm 2 mm out
  const ForceLaw law = coil_law(ForceTable{{0, 0}, {1, 1}, {3, 7}});
  EXPECT_NEAR(spring_force(law, 62).push_n, -2.0 / 3, 1e-14);
  EXPECT_NEAR(spring_force(law, 62).stiffness_n_per_mm, 1.0 / 3, 1e-15);
  EXPECT_NEAR(spring_force(law, 62).energy_n_mm, 2.0 / 3, 1e-14);
}

// Rubber band, neo-Hookean and incompressible (L. R. G. Treloar, The Physics of Rubber Elasticity; from memory):
// F = A0 G (s - 1/s^2) at stretch s, energy per volume G/2 (s^2 + 2/s - 3). A0 = 2 mm^2, G = 0.4 MPa, 40 mm long.
double neo_hooke_n(double stretch) { return 2 * 0.4 * (stretch - 1 / (stretch * stretch)); }

// Table every `step` mm of stretch up to three times its length.
ForceLaw neo_hooke_law(double step) {
  ForceTable table;
  for (int k = 0; k * step <= 80 + step / 2; ++k) {
    table.emplace_back(k * step, neo_hooke_n(1 + k * step / 40));
  }
  return band_law(table);
}

TEST(TableLaw, OfARubberBandHasThePublishedForcesAndEnergy) {
  const ForceLaw law = neo_hooke_law(2);
  const double published[][2] = {{1.2, 0.40444444}, {1.5, 0.84444444}, {2, 1.4}, {2.5, 1.872}, {3, 2.31111111}};
  for (const auto& [stretch, force] : published) {
    EXPECT_NEAR(spring_force(law, 40 * stretch).push_n, -force, 5e-9) << stretch;  // knots: to the last printed digit
  }
  // 0.4 mJ/mm^3 at stretch 2 over 2 mm^2 * 40 mm. Between knots the cubic is off by the order of step^3:
  // it stores the right energy to 1 part in 1000, and to 1 in 30000 with a table four times as fine.
  EXPECT_NEAR(spring_force(law, 80).energy_n_mm, 32.0, 32e-3);
  EXPECT_NEAR(spring_force(neo_hooke_law(0.5), 80).energy_n_mm, 32.0, 32.0 / 30000);
  // Slope at no stretch is 3 A0 G / L0 = 2.4 N over 40 mm; the end parabola has it within its third-order error.
  EXPECT_NEAR(spring_force(neo_hooke_law(0.5), 40 + 1e-9).stiffness_n_per_mm, 2.4 / 40, 1e-3 * 2.4 / 40);
}

// ------------------------------------------------------------------------------- for any table

TEST(AnyTableLaw, NeverFallsAndStaysBetweenItsPoints) {
  std::mt19937 random(20240611);
  for (int run = 0; run < scaled(300); ++run) {
    const ForceTable table = random_table(random);
    const ForceLaw law = coil_law(table);
    for (std::size_t k = 0; k + 1 < table.size(); ++k) {
      double last = table[k].y();
      for (int part = 1; part < 50; ++part) {
        const double x = table[k].x() + (table[k + 1].x() - table[k].x()) * part / 50.0;
        const SpringForce at = spring_force(law, 60 - x);
        ASSERT_GE(at.push_n, last - 1e-12 * table.back().y()) << "run " << run << " x " << x;
        ASSERT_GE(at.stiffness_n_per_mm, 0.0);
        last = at.push_n;
      }
      ASSERT_LE(last, table[k + 1].y() * (1 + 1e-12));
    }
  }
}

// Sufficient for a monotone cubic (Fritsch and Carlson 1980, the square in their fig. 1): both slopes of a span
// lie between 0 and 3 of its secants.
TEST(AnyTableLaw, KeepsItsSlopesWithinThreeSecants) {
  std::mt19937 random(7);
  for (int run = 0; run < scaled(300); ++run) {
    const ForceTable table = random_table(random);
    const ForceLaw law = coil_law(table);
    for (std::size_t k = 0; k + 1 < table.size(); ++k) {
      const double secant = (table[k + 1].y() - table[k].y()) / (table[k + 1].x() - table[k].x());
      for (const double slope : {law.slope_n_per_mm[k], law.slope_n_per_mm[k + 1]}) {
        ASSERT_GE(slope, 0.0);
        ASSERT_LE(slope, 3 * secant * (1 + 1e-12));
      }
    }
  }
}

/// Push, stiffness and energy of a law agree with each other, by GSL, at lengths spread over and past its range.
void expect_consistent(const ForceLaw& law, double from_mm, double to_mm, std::mt19937& random) {
  std::uniform_real_distribution<double> anywhere(from_mm, to_mm);
  const auto push = [&](double length) { return spring_force(law, length).push_n; };
  const auto energy = [&](double length) { return spring_force(law, length).energy_n_mm; };
  for (int point = 0; point < 10; ++point) {
    const double length = anywhere(random);
    double to_knot = std::abs(length - law.free_mm);
    for (const double x : law.deflection_mm) {
      to_knot = std::min(to_knot, std::abs(length - (law.pulls ? law.free_mm + x : law.free_mm - x)));
    }
    if (to_knot < 1e-3) {
      continue;  // the second derivative jumps at a knot: a difference across it says nothing
    }
    const SpringForce at = spring_force(law, length);
    const double scale = std::max({1.0, std::abs(at.push_n), at.stiffness_n_per_mm});
    // 1e-7: rounding of the energy (about 1e3 N mm) over GSL's step of 1e-4 mm
    EXPECT_NEAR(-slope_by_gsl(push, length), at.stiffness_n_per_mm, 1e-7 * scale) << length;
    EXPECT_NEAR(-slope_by_gsl(energy, length), at.push_n, 1e-7 * scale) << length;
  }
}

TEST(AnyTableLaw, OfACoilHasPushEnergyAndStiffnessThatAgree) {
  std::mt19937 random(99);
  for (int run = 0; run < scaled(50); ++run) {
    const ForceTable table = random_table(random);
    expect_consistent(coil_law(table), 60 - table.back().x() - 2, 62, random);
  }
}

TEST(AnyTableLaw, OfABandHasPushEnergyAndStiffnessThatAgree) {
  std::mt19937 random(100);
  for (int run = 0; run < scaled(50); ++run) {
    ForceTable table = random_table(random);
    table.front().y() = 0;
    expect_consistent(band_law(table), 38, 42 + table.back().x(), random);
  }
}

TEST(AnyTableLaw, StoresTheIntegralOfItsForce) {
  std::mt19937 random(101);
  for (int run = 0; run < scaled(50); ++run) {
    const ForceTable table = random_table(random);
    const ForceLaw law = coil_law(table);
    std::vector<double> breaks;
    for (const Vec2& point : table) {
      breaks.push_back(point.x());
    }
    const double stored = spring_force(law, 60 - table.back().x()).energy_n_mm;
    EXPECT_NEAR(stored, integral_by_gsl([&](double x) { return spring_force(law, 60 - x).push_n; }, breaks),
                1e-10 * std::max(1.0, stored));
  }
}

TEST(StraightLaw, HasPushEnergyAndStiffnessThatAgree) {
  std::mt19937 random(3);
  for (int run = 0; run < scaled(20); ++run) {
    expect_consistent(firm(), 35, 60, random);
    expect_consistent(band_law(2.0), 30, 70, random);
  }
}

// The slope at a knot is the same from either side: Newton's method needs that. 1e-6: what GSL's one-sided rule,
// less exact than its central one, can tell.
TEST(AnyTableLaw, HasNoKinkInItsForceAtItsKnots) {
  const ForceLaw law = coil_law(ForceTable{{0, 0.4}, {2, 1.1}, {5, 4.0}, {11, 5.5}, {20, 19.0}});
  const auto push = [&](double length) { return spring_force(law, length).push_n; };
  for (const double x : law.deflection_mm) {
    const double stiffness = spring_force(law, 60 - x).stiffness_n_per_mm;
    EXPECT_NEAR(-slope_by_gsl(push, 60 - x, -1), stiffness, 1e-6) << x;
    EXPECT_NEAR(-slope_by_gsl(push, 60 - x, +1), stiffness, 1e-6) << x;
  }
}

}  // namespace
}  // namespace ridepitch
