#include "law.hpp"

#include <cmath>

namespace ridepitch::oracle {
namespace {

// A monotone table: y(t) = y0 + h (d0 t + (3 S - 2 d0 - d1) t^2 + (d0 + d1 - 2 S) t^3), t in 0..1, S the
// secant. Inner slopes are the weighted harmonic means of the secants; the ends the three-point
// formula, not below zero. Source: F. N. Fritsch and J. Butland, SIAM J. Sci. Stat. Comput. 5 (1984) 300.
struct Table {
  const ForceTable& points;

  int segments() const { return static_cast<int>(points.size()) - 1; }
  double width(int i) const { return points[i + 1].x() - points[i].x(); }
  double secant(int i) const { return (points[i + 1].y() - points[i].y()) / width(i); }

  double end_slope(int first, int second) const {
    const double h = width(first), k = width(second);
    return std::max(0.0, ((2 * h + k) * secant(first) - h * secant(second)) / (h + k));
  }
  double slope(int knot) const {
    const int last = segments();
    if (last == 1) return secant(0);
    if (knot == 0) return end_slope(0, 1);
    if (knot == last) return end_slope(last - 1, last - 2);
    const double h = width(knot - 1), k = width(knot);
    return 3 * (h + k) / ((h + 2 * k) / secant(knot - 1) + (2 * h + k) / secant(knot));
  }
};

// Energy, force and slope of a table at a deflection. Below 0 and past the end of a coil's table the end segment's
// cubic runs on (only differences across a stop see that); a band's runs straight on, as the format says.
Jet table_energy(const ForceTable& points, const Jet& deflection, bool straight_past_the_end) {
  const Table table{points};
  double stored = 0;
  for (int i = 0;; ++i) {
    const double h = table.width(i), S = table.secant(i), d0 = table.slope(i), d1 = table.slope(i + 1);
    const double y0 = points[i].y(), c2 = 3 * S - 2 * d0 - d1, c3 = d0 + d1 - 2 * S;
    const auto energy = [&](double t) {
      return h * (y0 * t + h * (d0 * t * t / 2 + c2 * t * t * t / 3 + c3 * t * t * t * t / 4));
    };
    const bool last = i + 1 == table.segments();
    const double x = deflection.value - points[i].x();
    if (x > h && !last) {
      stored += energy(1);
      continue;
    }
    if (x > h && straight_past_the_end) {
      const double past = x - h, y1 = points[i + 1].y();
      return chain(deflection, stored + energy(1) + y1 * past + d1 * past * past / 2, y1 + d1 * past, d1);
    }
    const double t = x / h;
    return chain(deflection, stored + energy(t), y0 + h * (d0 * t + c2 * t * t + c3 * t * t * t),
                 d0 + 2 * c2 * t + 3 * c3 * t * t);
  }
}

}  // namespace

Jet coil_energy(const Coil& coil, const Jet& length_mm) {
  const Jet s = Jet(coil.free_mm) - length_mm;
  if (coil.law) return table_energy(*coil.law, s, false);
  return coil.preload_n * s + 0.5 * coil.rate_n_per_mm * (s * s);
}

Jet band_energy(const Band& band, const Jet& length_mm) {
  const Jet s = length_mm - Jet(band.free_mm);
  if (s.value <= 0) return Jet(0);
  if (band.law) return table_energy(*band.law, s, true);
  return 0.5 * band.rate_n_per_mm * (s * s);
}

Jet torsion_energy(const Torsion& torsion, const Jet& angle_rad) {
  const Jet s = angle_rad - Jet(torsion.free_rad);
  return 0.5 * torsion.rate_n_mm_per_rad * (s * s);
}

double push_n(const Spring& spring, double length_mm) {
  Jet length(length_mm);
  length.slope[0] = 1;
  if (const auto* coil = std::get_if<Coil>(&spring.data)) return -coil_energy(*coil, length).slope[0];
  if (const auto* band = std::get_if<Band>(&spring.data)) return -band_energy(*band, length).slope[0];
  return 0;
}

}  // namespace ridepitch::oracle
