#pragma once
// One force law for all springs, with its slope and its energy, consistent with each other.

#include <vector>

#include "model/parts.hpp"

namespace ridepitch {

/// What a spring held at a length does, one piece.
struct SpringForce {
  double push_n = 0;              ///< along its line, positive when it pushes its ends apart, negative when it pulls
  double stiffness_n_per_mm = 0;  ///< d(push) / d(shortening), >= 0
  double energy_n_mm = 0;         ///< stored, 0 at the free length; d(energy)/d(length) = -push
};

/// The law of a spring made ready for use. Of one that turns, lengths are angles [rad] and forces moments [N mm].
///
/// Stops (solid, free) are not part of the law: past them it runs straight on with the slope it has
/// there, and what holds the spring is the linkage's to say (linkage/mechanism.hpp, Stop).
struct ForceLaw {
  bool pulls = false;  ///< a band
  double free_mm = 0;
  double solid_mm = 0;  ///< 0 but for a coil
  double rate_n_per_mm = 0;
  double preload_n = 0;
  std::vector<double> deflection_mm, force_n, slope_n_per_mm, energy_n_mm;  ///< a table's knots; empty: a straight line

  friend bool operator==(const ForceLaw&, const ForceLaw&) = default;
};

ForceLaw force_law(const Coil& coil);
ForceLaw force_law(const Band& band);
ForceLaw force_law(const Torsion& torsion);
template <class... Kinds>
ForceLaw force_law(const std::variant<Kinds...>& spring) {
  return std::visit([](const auto& kind) { return force_law(kind); }, spring);
}

/// A straight line: it pushes below its free reading and pulls above it.
ForceLaw linear_law(double rate, double free);

/// Whether a table gives it, not a rate and a preload.
inline bool has_table(const ForceLaw& law) { return !law.deflection_mm.empty(); }

/// Push, stiffness and energy at a length between hole centres [mm].
///
///     coil   push = preload + rate (free - length)            energy = preload s + rate s^2 / 2, s = free - length
///     band   push = -rate (length - free), 0 when slack
///     table  monotone cubic Hermite through the points, Fritsch-Butland slopes
///
/// Source: Hooke's law with a preload offset; F. N. Fritsch and J. Butland, SIAM J. Sci. Stat.
/// Comput. 5 (1984) 300; docs/model-format.md, "Parts".
SpringForce spring_force(const ForceLaw& law, double length_mm);

}  // namespace ridepitch
