#include "spring/force_law.hpp"

#include <algorithm>
#include <cstddef>

namespace ridepitch {
namespace {

// Letters of this file:
//   x   deflection from the free length: shortening of a coil, stretch of a band [mm]
//   f   force that resists it, >= 0 [N];  m = df/dx [N/mm];  e = integral of f from 0 [N mm]
//   h   width of a span between two knots [mm];  d = (f1 - f0)/h its secant [N/mm]
struct Resistance {
  double f = 0, m = 0, e = 0;
};

/// Slope at an inner knot between two spans: the harmonic mean of their secants, the wider span weighing less.
///
///     m = (w1 + w2) / (w1/d0 + w2/d1),   w1 = 2 h1 + h0,   w2 = h1 + 2 h0
///
/// It lies between 0 and three times either secant, which is what keeps both cubics monotone.
/// Source: F. N. Fritsch and J. Butland (1984), eq. 2.3 with K. W. Brodlie's weights for uneven knots.
double inner_slope(double h0, double d0, double h1, double d1) {
  const double w1 = 2 * h1 + h0;
  const double w2 = h1 + 2 * h0;
  return (w1 + w2) / (w1 / d0 + w2 / d1);
}

/// Slope at an end: that of the parabola through the three nearest knots, the nearest span being h0.
///
/// The parabola turns down where the next span is much steeper; a rising law must not, so it is then level.
/// (Its slope is always below 2 d0 when both secants rise: no upper bound is needed.)
double end_slope(double h0, double d0, double h1, double d1) {
  const double m = ((2 * h0 + h1) * d0 - h0 * d1) / (h0 + h1);
  return std::max(m, 0.0);
}

/// A straight piece that starts with force f and slope m.
Resistance straight(double f, double m, double x) { return {f + m * x, m, (f + m * x / 2) * x}; }

// f(x) = f0 + m0 x + c2 x^2 + c3 x^3 on a span, from its two forces and two slopes (Hermite's conditions):
//     c2 = (3 d - 2 m0 - m1) / h,   c3 = (m0 + m1 - 2 d) / h^2
Resistance cubic(double h, double f0, double f1, double m0, double m1, double x) {
  const double d = (f1 - f0) / h;
  const double c2 = (3 * d - 2 * m0 - m1) / h;
  const double c3 = (m0 + m1 - 2 * d) / (h * h);
  // The slope is never below 0 but by rounding, where it touches 0 at an end.
  return {f0 + x * (m0 + x * (c2 + x * c3)), std::max(m0 + x * (2 * c2 + x * 3 * c3), 0.0),
          x * (f0 + x * (m0 / 2 + x * (c2 / 3 + x * c3 / 4)))};
}

Resistance table_resistance(const ForceLaw& law, double x) {
  const std::vector<double>& knots = law.deflection_mm;
  if (x < knots.front()) {
    Resistance before = straight(law.force_n.front(), law.slope_n_per_mm.front(), x - knots.front());
    before.e += law.energy_n_mm.front();
    return before;
  }
  const auto above = std::upper_bound(knots.begin(), knots.end(), x);
  const auto k = static_cast<std::size_t>(above - knots.begin()) - 1;
  const double past = x - knots[k];
  Resistance here = k + 1 == knots.size() ? straight(law.force_n[k], law.slope_n_per_mm[k], past)
                                          : cubic(knots[k + 1] - knots[k], law.force_n[k], law.force_n[k + 1],
                                                  law.slope_n_per_mm[k], law.slope_n_per_mm[k + 1], past);
  here.e += law.energy_n_mm[k];
  return here;
}

void set_knots(ForceLaw& law, const ForceTable& table) {
  for (const Vec2& point : table) {
    law.deflection_mm.push_back(point.x());
    law.force_n.push_back(point.y());
  }
  const std::vector<double>& x = law.deflection_mm;
  const std::vector<double>& f = law.force_n;
  const std::size_t n = table.size();
  const auto h = [&](std::size_t span) { return x[span + 1] - x[span]; };
  const auto d = [&](std::size_t span) { return (f[span + 1] - f[span]) / h(span); };

  std::vector<double>& m = law.slope_n_per_mm;
  if (n == 1) {
    m = {0.0};
  } else if (n == 2) {
    m = {d(0), d(0)};
  } else {
    m.push_back(end_slope(h(0), d(0), h(1), d(1)));
    for (std::size_t k = 1; k + 1 < n; ++k) {
      m.push_back(inner_slope(h(k - 1), d(k - 1), h(k), d(k)));
    }
    m.push_back(end_slope(h(n - 2), d(n - 2), h(n - 3), d(n - 3)));
  }

  law.energy_n_mm = {0.0};
  for (std::size_t k = 0; k + 1 < n; ++k) {
    law.energy_n_mm.push_back(law.energy_n_mm[k] + cubic(h(k), f[k], f[k + 1], m[k], m[k + 1], h(k)).e);
  }
}

}  // namespace

ForceLaw force_law(const Coil& coil) {
  ForceLaw law;
  law.free_mm = coil.free_mm;
  law.solid_mm = coil.solid_mm;
  if (coil.law && !coil.law->empty()) {
    set_knots(law, *coil.law);
  } else {
    law.rate_n_per_mm = coil.rate_n_per_mm;
    law.preload_n = coil.preload_n;
  }
  return law;
}

ForceLaw force_law(const Band& band) {
  ForceLaw law;
  law.pulls = true;
  law.free_mm = band.free_mm;
  if (band.law && !band.law->empty()) {
    set_knots(law, *band.law);
  } else {
    law.rate_n_per_mm = band.rate_n_per_mm;
  }
  return law;
}

ForceLaw linear_law(double rate, double free) {
  ForceLaw law;
  law.free_mm = free;
  law.rate_n_per_mm = rate;
  return law;
}

ForceLaw force_law(const Torsion& torsion) { return linear_law(torsion.rate_n_mm_per_rad, torsion.free_rad); }

SpringForce spring_force(const ForceLaw& law, double length_mm) {
  const double x = law.pulls ? length_mm - law.free_mm : law.free_mm - length_mm;
  if (law.pulls && x <= 0) {
    return {};
  }
  const Resistance r = has_table(law) ? table_resistance(law, x) : straight(law.preload_n, law.rate_n_per_mm, x);
  return {law.pulls ? -r.f : r.f, r.m, r.e};
}

}  // namespace ridepitch
